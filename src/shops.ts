import { readdirSync, readFileSync } from 'node:fs';
import { basename, dirname, join, resolve } from 'node:path';
import { parse } from 'dotenv';
import { NAMES, readSettings, type SettingName, type Settings } from './settings.ts';

/** One shop of an installation that serves several. */
export interface Shop {
  /** The name of its settings file, without `.env`. */
  name: string;
  file: string;
  settings: Settings;
}

const NAME = /^[a-z0-9][a-z0-9-]{0,40}$/;

/** What belongs to one shop and can be no default for all of them. */
const OF_ONE_SHOP: readonly SettingName[] = [
  ...(['TELEGRAM_TOKEN', 'PUBLIC_URL', 'STAFF_CHAT', 'PORT', 'DATABASE_PATH', 'DATABASE_URL'] as const),
  ...(['FLOWS', 'BACKUP_FOLDER', 'METRICS_TOKEN', 'SECRET_KEY', 'DEMO'] as const),
];

/** Whether one shop is to be served or those of a folder; `wrong` where it cannot be both. */
export function shopsFolder(
  environment: Record<string, string | undefined>,
  envFile = '',
): { kind: 'one' } | { kind: 'several'; folder: string } | { kind: 'wrong'; lines: string[] } {
  const file = parse(envFile);
  const value = (name: string): string => (environment[name]?.trim() || file[name]?.trim()) ?? '';
  const folder = value('SHOPS');
  if (folder === '') return { kind: 'one' };
  const lines = OF_ONE_SHOP.filter((name) => value(name) !== '').map(
    (name) => `${name} is wrong: SHOPS is set too, and each shop has its own; put it into the shop's file in ${folder}`,
  );
  return lines.length > 0 ? { kind: 'wrong', lines } : { kind: 'several', folder };
}

/**
 * The shops of a folder, each file NAME.env with the settings of one, or a line for everything that is wrong: a setting,
 * or something that two shops would share. What is left out has no default here that two shops could fall into together.
 */
export function readShops(folder: string): { shops: Shop[] } | { lines: string[] } {
  let names: string[];
  try {
    names = readdirSync(folder).filter((name) => name.endsWith('.env'));
  } catch (fault) {
    const code = fault instanceof Error && 'code' in fault ? String(fault.code) : 'unknown';
    return {
      lines: [`SHOPS is wrong: ${folder} cannot be read (${code}); it should be a folder with a NAME.env a shop`],
    };
  }
  if (names.length === 0) return { lines: [`SHOPS is wrong: ${folder} holds no file NAME.env`] };
  const lines: string[] = [];
  const shops: Shop[] = [];
  for (const name of names.sort()) {
    const file = join(folder, name);
    const shop = basename(name, '.env');
    if (!NAME.test(shop)) {
      lines.push(
        `${file}: the name of a shop's file should be small letters, digits and hyphens, such as north-side.env`,
      );
      continue;
    }
    const text = readFileSync(file, 'utf8');
    const given = parse(text);
    const has = (setting: SettingName): boolean => (given[setting] ?? '').trim() !== '';
    const read = readSettings({}, text);
    if (!read.ok) lines.push(...read.lines.map((line) => `${file}: ${line.replace(' in .env', '')}`));
    for (const setting of ['PORT', 'FLOWS'] as const) {
      if (!has(setting)) lines.push(`${file}: ${setting} is missing: each shop has its own`);
    }
    if (!has('DATABASE_PATH') && !has('DATABASE_URL')) {
      lines.push(`${file}: DATABASE_PATH is missing: each shop has its own, or its own DATABASE_URL`);
    }
    if (read.ok) shops.push({ name: shop, file, settings: read.settings });
  }
  lines.push(...shared(shops));
  return lines.length > 0 ? { lines } : { shops };
}

/** What must differ from shop to shop, as something to compare; undefined where a shop has none. */
const APART: [SettingName, (settings: Settings) => string | undefined][] = [
  ['PORT', ({ port }) => (port === 0 ? undefined : String(port))],
  ['FLOWS', ({ flows }) => flows && resolve(flows)],
  // The folder, since a shop's key lies beside its database.
  ['DATABASE_PATH', ({ database }) => (database.kind === 'sqlite' ? dirname(resolve(database.path)) : undefined)],
  ['DATABASE_URL', ({ database }) => (database.kind === 'postgres' ? database.url : undefined)],
  ['TELEGRAM_TOKEN', ({ telegram }) => telegram?.token.split(':')[0]],
  ['PUBLIC_URL', ({ publicUrl }) => publicUrl?.toLowerCase()],
  ['STAFF_CHAT', ({ staffChat, telegram }) => (telegram && staffChat ? `${staffChat}` : undefined)],
  ['BACKUP_FOLDER', ({ backups }) => backups && resolve(backups.folder)],
  ['SECRET_KEY', ({ secretKey }) => secretKey],
];

function shared(shops: readonly Shop[]): string[] {
  return APART.flatMap(([setting, of]) => {
    const first = new Map<string, Shop>();
    return shops.flatMap((shop) => {
      const value = of(shop.settings);
      const other = value === undefined ? undefined : first.get(value);
      if (value !== undefined && !other) first.set(value, shop);
      const what = setting === 'DATABASE_PATH' ? 'lies in the same folder as' : 'is the same as';
      return other
        ? [`${shop.file}: ${setting} is wrong: it ${what} that of ${other.file}; each shop has its own`]
        : [];
    });
  });
}

/** What a shop's own process is told: its file, and nothing of this process's settings. */
export const environmentOf = (
  shop: Pick<Shop, 'file'>,
  environment: Record<string, string | undefined>,
): Record<string, string> => ({
  ...Object.fromEntries(
    Object.entries(environment).flatMap(([name, value]) =>
      value === undefined || name === 'SHOPS' || NAMES.some((known) => known === name) ? [] : [[name, value]],
    ),
  ),
  SETTINGS_FILE: resolve(shop.file),
});
