import { readdirSync, readFileSync } from 'node:fs';
import { join, relative, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { FlowFile } from './core/mod.ts';

/** The project's own flows/, wherever the program is started from. */
export const FLOWS_FOLDER = fileURLToPath(new URL('../flows', import.meta.url));

/** Reads every file of a flows folder that the program knows how to check. Paths begin with `flows/`. */
export function readFlowsFolder(folder: string = FLOWS_FOLDER): FlowFile[] {
  return readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((name) => /\.(ya?ml|ftl)$/.test(name))
    .sort()
    .map((name) => ({
      path: join('flows', relative(folder, join(folder, name)))
        .split(sep)
        .join('/'),
      text: readFileSync(join(folder, name), 'utf8'),
    }));
}
