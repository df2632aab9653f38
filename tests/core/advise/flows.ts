import { readdirSync, readFileSync } from 'node:fs';
import { join, relative, resolve } from 'node:path';
import { compileAdvice, type AdviceBook } from '../../../src/core/advise/mod.ts';
import { findingLine, type FlowFile } from '../../../src/core/model/checked.ts';

const root = resolve(import.meta.dirname, '../../..');

/** The YAML and Fluent files of flows/, as they are read at start. */
export function flowFiles(folder = 'flows'): FlowFile[] {
  return readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
    .filter((name) => /\.(ya?ml|ftl)$/.test(name))
    .map((name) => join(root, folder, name))
    .map((path) => ({ path: relative(root, path), text: readFileSync(path, 'utf8') }));
}

let book: AdviceBook | undefined;

/** The shop's own rule book, checked once. */
export function shopBook(): AdviceBook {
  if (book) return book;
  const checked = compileAdvice(flowFiles());
  if (!checked.ok) throw new Error(checked.findings.map(findingLine).join('\n'));
  return (book = checked.value);
}
