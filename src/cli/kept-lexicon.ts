import { createHash, randomUUID } from 'node:crypto';
import { readdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import process from 'node:process';
import { deserialize, serialize } from 'node:v8';
import { sound, type Checked, type FlowFile } from '../core/model/checked.ts';
import { lexiconFrom, plainOf, type Lexicon, type PlainLexicon } from '../core/understand/kept.ts';

/**
 * The folder of the joined modules that this code runs from: every join makes a new one, so that what is kept there was
 * made by this very program. Undefined where modules are loaded one by one; then nothing is kept.
 */
const OWN_FOLDER = import.meta.filename.endsWith('.mjs') ? dirname(import.meta.filename) : undefined;
const BEGIN = 'lexicon-';
const DIGEST_LENGTH = 32;

/**
 * The lexicon of these files of flows/language. Compiling it takes longer than all else at the start of a command, so it
 * is kept under the hash of what it was made from, and compiled where no such one is kept whole.
 */
export async function lexiconOf(files: FlowFile[], folder: string | undefined = OWN_FOLDER): Promise<Checked<Lexicon>> {
  const path = folder === undefined ? undefined : join(folder, BEGIN + hashOf(files));
  const kept = path === undefined ? undefined : keptAt(path);
  if (kept) return sound(lexiconFrom(kept));
  const { compileLexicon } = await import('../core/understand/mod.ts');
  const compiled = compileLexicon(files);
  if (compiled.ok && path !== undefined) keep(path, plainOf(compiled.value));
  return compiled;
}

function hashOf(files: readonly FlowFile[]): string {
  const hash = createHash('sha256').update(process.version);
  for (const { path, text } of files) hash.update(JSON.stringify([path, text.length])).update(text);
  return hash.digest('hex');
}

const digestOf = (content: Uint8Array): Buffer => createHash('sha256').update(content).digest();

/** What is kept at a path; undefined where it is not there, not whole, or cannot be read. */
function keptAt(path: string): PlainLexicon | undefined {
  try {
    const bytes = readFileSync(path);
    const content = bytes.subarray(DIGEST_LENGTH);
    return digestOf(content).equals(bytes.subarray(0, DIGEST_LENGTH))
      ? (deserialize(content) as PlainLexicon)
      : undefined;
  } catch {
    return undefined;
  }
}

/** Keeps a lexicon in the place of earlier ones; where nothing can be written, nothing is kept. */
function keep(path: string, lexicon: PlainLexicon): void {
  const content = serialize(lexicon);
  const folder = dirname(path);
  const unfinished = join(folder, `unfinished-${randomUUID()}`);
  quietly(() => {
    writeFileSync(unfinished, Buffer.concat([digestOf(content), content]));
    renameSync(unfinished, path);
    const earlier = readdirSync(folder).filter((name) => name.startsWith(BEGIN) && name !== basename(path));
    for (const name of earlier) rmSync(join(folder, name));
  });
  quietly(() => rmSync(unfinished, { force: true }));
}

/** Does something with files; that it cannot be done is no fault. */
function quietly(doing: () => void): void {
  try {
    doing();
  } catch (error) {
    if (!(error instanceof Error && 'syscall' in error)) throw error;
  }
}
