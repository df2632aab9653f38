import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { environmentOf, readShops, shopsFolder } from '../../src/shops.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'shops-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

const shop = (name: string, more: Record<string, string> = {}, without: string[] = []): void => {
  const own: Record<string, string> = {
    PORT: name === 'north' ? '3001' : '3002',
    FLOWS: `shops/${name}/flows`,
    DATABASE_PATH: `data/${name}/telltale.sqlite`,
    TELEGRAM_TOKEN: `${name === 'north' ? '111' : '222'}:abcdef`,
    ...more,
  };
  const lines = Object.entries(own).filter(([setting]) => !without.includes(setting));
  writeFileSync(join(folder, `${name}.env`), lines.map(([setting, value]) => `${setting}=${value}\n`).join(''));
};
const wrong = (): string[] => {
  const read = readShops(folder);
  return 'lines' in read ? read.lines : [];
};

describe('whether one shop or several are served', () => {
  it('one, where nothing is said', () => expect(shopsFolder({}, 'PORT=4000')).toEqual({ kind: 'one' }));

  it.each([
    ['the environment', { SHOPS: 'shops' }, ''],
    ['the file', {}, 'SHOPS=shops\nLOG_LEVEL=warn'],
  ])('several, where %s names a folder', (_where, environment, file) => {
    expect(shopsFolder(environment, file)).toEqual({ kind: 'several', folder: 'shops' });
  });

  it.each(['TELEGRAM_TOKEN', 'DATABASE_URL', 'FLOWS', 'SECRET_KEY', 'PORT'])(
    'not both: %s beside SHOPS would be of no shop, or of all',
    (name) => {
      const asked = shopsFolder({ SHOPS: 'shops', [name]: 'x' });
      expect(asked).toMatchObject({ kind: 'wrong' });
      expect('lines' in asked && asked.lines.join()).toContain(`${name} is wrong: SHOPS is set too`);
    },
  );
});

describe('the shops of a folder', () => {
  it('are those of its .env files, each with its own settings', () => {
    shop('north');
    shop('south', { LOG_LEVEL: 'warn' });
    writeFileSync(join(folder, 'notes.txt'), 'not a shop');
    const read = readShops(folder);
    if ('lines' in read) throw new Error(read.lines.join('\n'));
    expect(read.shops.map(({ name, settings }) => [name, settings.port, settings.flows, settings.logLevel])).toEqual([
      ['north', 3001, 'shops/north/flows', 'info'],
      ['south', 3002, 'shops/south/flows', 'warn'],
    ]);
  });

  it.each<[what: string, more: Record<string, string>, line: RegExp]>([
    ['listen on one port', { PORT: '3001' }, /south\.env: PORT is wrong: it is the same as that of .*north\.env/],
    ['have the same people', { FLOWS: 'shops/../shops/north/flows' }, /FLOWS is wrong/],
    ['keep one database', { DATABASE_PATH: 'data/north/telltale.sqlite' }, /DATABASE_PATH is wrong/],
    ['keep two databases under one key', { DATABASE_PATH: 'data/north/other.sqlite' }, /lies in the same folder/],
    ['be one bot, whatever its secret is now', { TELEGRAM_TOKEN: '111:newer' }, /TELEGRAM_TOKEN is wrong/],
  ])('may not %s', (_what, more, line) => {
    shop('north');
    shop('south', more);
    expect(wrong()).toEqual([expect.stringMatching(line)]);
  });

  it('may not thin out the backups of one another', () => {
    shop('north', { BACKUP_FOLDER: 'backups' });
    shop('south', { BACKUP_FOLDER: './backups' });
    expect(wrong()).toEqual([expect.stringMatching(/south\.env: BACKUP_FOLDER is wrong/)]);
  });

  it.each(['PORT', 'FLOWS', 'DATABASE_PATH'])('need a %s each: a default would be shared', (name) => {
    shop('north', {}, [name]);
    shop('south');
    expect(wrong()).toEqual([expect.stringMatching(new RegExp(`north\\.env: ${name} is missing`))]);
  });

  it('are told what is wrong with a line each, without the secrets', () => {
    shop('north', { PORT: 'http', TELEGRAM_TOKEN: 'secret-of-north' });
    shop('south', { PROT: '3' });
    const lines = wrong();
    expect(lines).toHaveLength(3);
    expect(lines.join('\n')).not.toContain('secret-of-north');
    expect(lines).toContainEqual(expect.stringMatching(/north\.env: PORT is wrong/));
    expect(lines).toContainEqual(expect.stringMatching(/south\.env: PROT is not a setting: .* PORT$/));
  });

  it('have names that can stand in a log', () => {
    writeFileSync(join(folder, 'North Side.env'), '');
    expect(wrong()).toEqual([expect.stringContaining('small letters, digits and hyphens')]);
  });

  it('are looked for where SHOPS says: no folder, or an empty one, is told', () => {
    expect(wrong()).toEqual([expect.stringContaining('holds no file NAME.env')]);
    mkdirSync(join(folder, 'empty'));
    expect(readShops(join(folder, 'nowhere'))).toEqual({ lines: [expect.stringContaining('cannot be read (ENOENT)')] });
  });
});

describe("a shop's own process", () => {
  it("is told its file, and nothing of the installation's settings", () => {
    const given = environmentOf(
      { file: join(folder, 'north.env') },
      { PATH: '/bin', SHOPS: folder, TELEGRAM_TOKEN: '9:other', DATABASE_URL: 'postgres://x/y', LOG_LEVEL: 'warn' },
    );
    expect(given).toEqual({ PATH: '/bin', SETTINGS_FILE: join(folder, 'north.env') });
  });
});
