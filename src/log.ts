import { pino } from 'pino';
import type { DestinationStream, Logger, LoggerOptions } from 'pino';

export type Log = Pick<Logger, 'debug' | 'info' | 'warn' | 'error' | 'fatal'>;

const HIDDEN = '[hidden]';

/** Keys whose values tell about a person, or open a door. Compared without case, "_" and "-". */
const PERSONAL = new Set(
  `text texts words caption name firstname lastname username title phone phonenumber contact email address chat chatid
  vin plate zone label labels complaint note content bytes payload data body message messages update updates owner
  token secret password cookie cookies authorization setcookie xtelegrambotapisecrettoken url uri link links href
  location latitude longitude photo photos fileid filepath params parameters query headers`.split(/\s+/),
);

const isPersonal = (key: string): boolean => PERSONAL.has(key.toLowerCase().replace(/[_-]/g, ''));

/** What is personal or secret wherever it stands, as a pattern and what is written in its place. */
const PATTERNS: [RegExp, string][] = [
  [/\b\d{5,20}:[A-Za-z0-9_-]{20,}/g, '[token]'],
  [/(\/bot)[^/\s"]+(?=\/)/g, '$1[token]'],
  [/\b(postgres(?:ql)?:\/\/)[^\s"@]*@/g, '$1[hidden]@'],
  [/[\w.+-]+@[\w-]+(?:\.[\w-]+)+/g, '[email]'],
  [/\+\d[\d ().-]{7,18}\d/g, '[phone]'],
  [/(?<![\w.-])\(?\d{3}\)?[-. ]{1,2}\d{3}[-. ]\d{4}(?![\w-])/g, '[phone]'],
  [/(?<![\w.-])\d{3}-\d{4}(?![\w-])/g, '[phone]'],
  [/\b(?=[A-HJ-NPR-Z0-9]*\d)(?=[A-HJ-NPR-Z0-9]*[A-HJ-NPR-Z])[A-HJ-NPR-Z0-9]{17}\b/g, '[VIN]'],
];

/** Takes tokens, phone numbers, e-mail addresses and VINs out of a text. */
export const scrub = (text: string): string =>
  PATTERNS.reduce((result, [pattern, instead]) => result.replace(pattern, instead), text);

/**
 * What may be said of a fault: its class, code and place in the program, and its message without personal data. An
 * error's `cause`, `error` and `payload` are left out: there an HTTP client keeps addresses with the bot token in them,
 * and the bot library keeps what was being sent.
 */
export function describeFault(fault: unknown): Record<string, unknown> {
  if (!(fault instanceof Error)) return { type: typeof fault };
  const extra = fault as Error & { code?: unknown; error_code?: unknown; method?: unknown };
  return {
    type: fault.name,
    ...(typeof extra.code === 'string' && { code: scrub(extra.code) }),
    ...(typeof extra.error_code === 'number' && { status: extra.error_code }),
    ...(typeof extra.method === 'string' && /^[A-Za-z]{1,40}$/.test(extra.method) && { method: extra.method }),
    message: fault instanceof SyntaxError ? 'text of a wrong form (not shown)' : scrub(fault.message),
    stack: (fault.stack ?? '')
      .split('\n')
      .filter((line) => /^ +at /.test(line))
      .slice(0, 8)
      .map(scrub),
  };
}

/** The kind of a fault without its message, which may quote what somebody wrote. */
export function kindOf(fault: unknown): string {
  if (!(fault instanceof Error)) return 'unknown';
  return 'code' in fault && typeof fault.code === 'string' ? `${fault.name} ${fault.code}` : fault.name;
}

function hide(value: unknown, depth: number): unknown {
  if (value instanceof Error) return describeFault(value);
  if (value instanceof Uint8Array) return `${value.byteLength} bytes`;
  if (typeof value !== 'object' || value === null) return value;
  if (depth === 0) return HIDDEN;
  if (Array.isArray(value)) return value.slice(0, 20).map((part) => hide(part, depth - 1));
  return Object.fromEntries(
    Object.entries(value).map(([key, part]) => [key, isPersonal(key) ? HIDDEN : hide(part, depth - 1)]),
  );
}

/**
 * The one way to write a log: structured lines, personal data and secrets hidden by key and once more by pattern in the
 * finished line. Identifiers, counts and outcomes are what a line is for; the words of a person never are.
 */
export function createLog(options: { level: string; destination?: DestinationStream }): Logger {
  const settings: LoggerOptions = {
    level: options.level,
    base: null,
    timestamp: () => `,"time":"${new Date().toISOString()}"`,
    formatters: {
      level: (label) => ({ level: label }),
      log: (line) => hide(line, 6) as Record<string, unknown>,
    },
    serializers: { err: (fault: unknown) => fault },
    hooks: { streamWrite: scrub },
  };
  return pino(settings, options.destination ?? pino.destination({ dest: 2, sync: true }));
}
