import { randomBytes } from 'node:crypto';
import { linkSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { dirname } from 'node:path';

/**
 * The installation's own key, made at the first start and kept beside the database, readable by its user only. It keys
 * the hashes that keep an opt-out after an owner was forgotten: a copy of the database alone does not give them away.
 */
export function secretKeyAt(path: string): string {
  try {
    return readFileSync(path, 'utf8').trim();
  } catch (error) {
    if (!(error instanceof Error && 'code' in error && error.code === 'ENOENT')) throw error;
  }
  const key = randomBytes(32).toString('hex');
  mkdirSync(dirname(path), { recursive: true });
  // Whole under its name or not there at all: another process of the shop may look for it at the same moment.
  const part = `${path}.${process.pid}`;
  writeFileSync(part, `${key}\n`, { mode: 0o600 });
  try {
    linkSync(part, path);
    return key;
  } catch (error) {
    if (error instanceof Error && 'code' in error && error.code === 'EEXIST') return readFileSync(path, 'utf8').trim();
    throw error;
  } finally {
    rmSync(part);
  }
}
