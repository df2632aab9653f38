import { existsSync, readFileSync } from 'node:fs';
import { resolve } from 'node:path';

interface Field {
  name: string;
  types: string[];
  required: boolean;
  description: string;
}
interface Spec {
  version: string;
  methods: Record<string, { fields?: Field[] }>;
  types: Record<string, { fields?: Field[]; subtypes?: string[] }>;
}

const PATH = resolve(import.meta.dirname, '..', '..', '..', 'shared', 'botapi-spec.json');

export interface BotApiSpec {
  version: string;
  /** What is wrong with a call, by the documentation of the Bot API. */
  checkCall(method: string, payload: Record<string, unknown>): string[];
  /** What is wrong with a value of one of the documented types. */
  checkValue(type: string, value: unknown): string[];
}

/**
 * The Bot API's own documentation of methods and types in machine-readable form, which lies beside the project and is no
 * part of it. Undefined where it is absent; whoever checks by it says so then.
 */
export function loadBotApiSpec(): BotApiSpec | undefined {
  if (!existsSync(PATH)) return undefined;
  return botApiSpec(JSON.parse(readFileSync(PATH, 'utf8')) as Spec);
}

function botApiSpec(spec: Spec): BotApiSpec {
  const checkFields = (fields: Field[], value: Record<string, unknown>, where: string): string[] => {
    const wrong = fields.flatMap((field) => {
      const part = value[field.name];
      if (part === undefined) return field.required ? [`${where}.${field.name} is missing`] : [];
      return [...checkAny(field.types, part, `${where}.${field.name}`), ...checkLimit(field, part, where)];
    });
    const known = new Set(fields.map(({ name }) => name));
    const unknown = Object.keys(value).filter((name) => !known.has(name));
    return [...wrong, ...unknown.map((name) => `${where}.${name} is not documented`)];
  };

  const checkAny = (types: string[], value: unknown, where: string): string[] => {
    const attempts = types.map((type) => check(type, value, where));
    return attempts.some((wrong) => wrong.length === 0) ? [] : (attempts.sort((a, b) => a.length - b.length)[0] ?? []);
  };

  const check = (type: string, value: unknown, where: string): string[] => {
    const wrong = [`${where} is no ${type}`];
    if (type.startsWith('Array of ')) {
      if (!Array.isArray(value)) return wrong;
      return value.flatMap((part, index) => check(type.slice('Array of '.length), part, `${where}[${index}]`));
    }
    switch (type) {
      case 'Integer':
        return Number.isSafeInteger(value) ? [] : wrong;
      case 'Float':
        return typeof value === 'number' ? [] : wrong;
      case 'Boolean':
        return typeof value === 'boolean' ? [] : wrong;
      case 'String':
        return typeof value === 'string' ? [] : wrong;
      case 'InputFile':
        return typeof value === 'string' && value.startsWith('attach://') ? [] : wrong;
    }
    const known = spec.types[type];
    if (!known) return [`the documentation has no type ${type}`];
    if (known.subtypes) return checkAny(known.subtypes, value, where);
    if (typeof value !== 'object' || value === null || Array.isArray(value)) return wrong;
    return checkFields(known.fields ?? [], value as Record<string, unknown>, where);
  };

  return {
    version: spec.version,
    checkCall: (method, payload) => {
      const known = spec.methods[method];
      return known ? checkFields(known.fields ?? [], payload, method) : [`the documentation has no method ${method}`];
    },
    checkValue: (type, value) => check(type, value, type),
  };
}

/** Limits such as "1-4096 characters" or "must include 2-10 items", which the documentation states in words. */
function checkLimit({ name, description }: Field, value: unknown, where: string): string[] {
  const [, least, most, unit] = /\b(\d+)-(\d+) (characters|bytes|items)\b/.exec(description) ?? [];
  if (!unit) return [];
  const size =
    typeof value === 'string'
      ? unit === 'bytes'
        ? Buffer.byteLength(value)
        : value.length
      : Array.isArray(value)
        ? value.length
        : undefined;
  if (size === undefined || (size >= Number(least) && size <= Number(most))) return [];
  return [`${where}.${name} has ${size} ${unit}, not ${least} to ${most}`];
}
