import { readdirSync, readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import type { FlowFile } from '../../src/core/model/checked.ts';

const root = resolve(import.meta.dirname, '../..');

/** The files of one folder of flows/, with paths from the project's root. */
export const flowFiles = (folder: string): FlowFile[] =>
  readdirSync(join(root, 'flows', folder)).map((name) => {
    const path = `flows/${folder}/${name}`;
    return { path, text: readFileSync(join(root, path), 'utf8') };
  });
