import { spawnSync } from 'node:child_process';
import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readSettings } from '../../src/settings.ts';

const root = resolve(import.meta.dirname, '..', '..');

const sound = (environment: Record<string, string>, envFile?: string) => {
  const result = readSettings(environment, envFile);
  if (!result.ok) throw new Error(result.lines.join('\n'));
  return result.settings;
};
const linesOf = (environment: Record<string, string>, envFile?: string): string[] => {
  const result = readSettings(environment, envFile);
  return result.ok ? [] : result.lines;
};

describe('settings', () => {
  it('needs none: the demo runs on a local file', () => {
    expect(sound({})).toEqual({
      host: '127.0.0.1',
      port: 3000,
      database: { kind: 'sqlite', path: 'data/telltale.sqlite' },
      turnsAMinute: 3_000,
      demo: true,
      logLevel: 'info',
    });
  });

  it.each([
    ['TELEGRAM_TOKEN', { TELEGRAM_TOKEN: '123456:TEST_token' }],
    ['PUBLIC_URL', { PUBLIC_URL: 'https://shop.example.com' }],
    ['DATABASE_URL', { DATABASE_URL: 'postgres://localhost/telltale' }],
  ])('has no demo once it serves real people (%s), unless asked for', (_, environment) => {
    expect(sound(environment).demo).toBe(false);
    expect(sound({ ...environment, DEMO: 'on' }).demo).toBe(true);
  });

  it('takes an empty or blank value as not set', () => {
    expect(sound({ TELEGRAM_TOKEN: '', PORT: ' ', LOG_LEVEL: '' })).toEqual(sound({}));
  });

  it('lets the environment win over the file, and an empty one fall back to it', () => {
    const file = 'PORT=4000\nLOG_LEVEL=debug # while we look\nHOST="0.0.0.0"\n';
    expect(sound({ PORT: '5000', LOG_LEVEL: '' }, file)).toMatchObject({
      port: 5000,
      logLevel: 'debug',
      host: '0.0.0.0',
    });
  });

  it('drops a closing slash from addresses', () => {
    expect(
      sound({
        TELEGRAM_TOKEN: '1:abc',
        TELEGRAM_API_ROOT: 'http://127.0.0.1:8081/',
        PUBLIC_URL: 'https://a.example.com/x/',
      }),
    ).toMatchObject({
      telegram: { token: '1:abc', apiRoot: 'http://127.0.0.1:8081' },
      publicUrl: 'https://a.example.com/x',
    });
  });

  it.each([
    ['PORT', '99999', 'out of range', 'a number from 0 to 65535'],
    ['PORT', 'http', 'no number', 'a number from 0 to 65535'],
    ['PORT', '-1', 'negative', 'a number from 0 to 65535'],
    ['HOST', 'http://x', 'an address instead of a host', 'a host name'],
    ['TELEGRAM_API_ROOT', 'api.example.com', 'no scheme', 'https://api.example.com'],
    ['PUBLIC_URL', 'ftp://shop.example.com', 'another protocol', 'https://shop.example.com'],
    ['PUBLIC_URL', 'https://shop.example.com?x=1', 'a query in a root', 'https://shop.example.com'],
    ['STAFF_CHAT', '@shop', 'a name instead of a number', '-1001234567890'],
    ['DATABASE_PATH', 'postgres://x/y', 'the other kind of database', 'DATABASE_URL'],
    ['TURNS_A_MINUTE', '0', 'nobody would ever be answered', 'from 60'],
    ['DEMO', 'maybe', 'neither yes nor no', 'on or off'],
    ['LOG_LEVEL', 'loud', 'no level', 'fatal, error, warn, info, debug, trace, silent'],
  ])('%s=%s is answered by one line (%s)', (name, value, _why, right) => {
    const lines = linesOf({ [name]: value });
    expect(lines).toHaveLength(1);
    expect(lines[0]).toContain(`${name} is wrong: "${value}"`);
    expect(lines[0]).toContain(right);
    expect(lines[0]).not.toContain('\n');
  });

  it.each([
    ['TELEGRAM_TOKEN', 'my secret bot token'],
    ['DATABASE_URL', 'mysql://u:hidden-password@h/d'],
  ])('%s is never repeated when it is wrong', (name, value) => {
    const [line] = linesOf({ [name]: value });
    expect(line).toContain(name);
    expect(line).not.toContain(value);
    expect(line).not.toContain('hidden-password');
  });

  it('names two databases as a contradiction', () => {
    expect(linesOf({ DATABASE_PATH: 'a.sqlite', DATABASE_URL: 'postgres://h/d' })[0]).toContain('one database');
  });

  it('refuses a webhook address that Telegram would not post to, but not with a Bot API server of one’s own', () => {
    const environment = { TELEGRAM_TOKEN: '1:abc', PUBLIC_URL: 'http://shop.example.com' };
    expect(linesOf(environment)[0]).toContain('https://');
    expect(linesOf({ ...environment, TELEGRAM_API_ROOT: 'http://127.0.0.1:8081' })).toEqual([]);
  });

  it.each([
    ['TELEGRAM_TOKN=1:abc', 'TELEGRAM_TOKEN', 'a letter left out'],
    ['PUBLIC_ULR=https://x.example.com', 'PUBLIC_URL', 'two letters swapped'],
    ['STAFFCHAT=-1', 'STAFF_CHAT', 'no underscore'],
    ['LOG_LEVELS=debug', 'LOG_LEVEL', 'a letter too many'],
  ])('points at a name in the file that is nearly ours: %s', (file, meant) => {
    const lines = linesOf({}, file);
    expect(lines).toHaveLength(1);
    expect(lines[0]).toContain(meant);
  });

  it('leaves the names of other programs alone', () => {
    expect(linesOf({ POST: 'x' }, 'EDITOR=vi\nCOMPOSE_PROJECT_NAME=x\n')).toEqual([]);
  });

  it('never throws, whatever stands in the environment', () => {
    const name = fc.constantFrom('TELEGRAM_TOKEN', 'PUBLIC_URL', 'TELEGRAM_API_ROOT', 'PORT', 'DATABASE_URL', 'HOST');
    fc.assert(
      fc.property(fc.dictionary(name, fc.string()), fc.string(), (environment, file) => {
        const result = readSettings(environment, file);
        if (!result.ok) expect(result.lines.every((line) => !line.includes('\n'))).toBe(true);
      }),
    );
  });

  it('ends the process with one line on standard error and exit code 2', () => {
    const folder = mkdtempSync(join(tmpdir(), 'settings-'));
    writeFileSync(join(folder, '.env'), 'PORT=eighty\n');
    const program = `import { settingsOrExit } from ${JSON.stringify(join(root, 'src', 'settings.ts'))}; settingsOrExit();`;
    const ran = spawnSync(
      process.execPath,
      ['--import', join(root, 'node_modules', 'tsx', 'dist', 'loader.mjs'), '--input-type=module', '-e', program],
      {
        cwd: folder,
        encoding: 'utf8',
        env: { PATH: process.env['PATH'] },
      },
    );
    expect(ran.status).toBe(2);
    expect(ran.stdout).toBe('');
    expect(ran.stderr).toBe(
      'PORT is wrong: "eighty" should be a number from 0 to 65535, where 0 takes any free port\n',
    );
  });
});
