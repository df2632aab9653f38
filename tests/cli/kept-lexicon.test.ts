import { appendFileSync, mkdtempSync, readdirSync, readFileSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { lexiconOf } from '../../src/cli/kept-lexicon.ts';
import type { FlowFile } from '../../src/core/model/checked.ts';
import type { ReadRequest } from '../../src/core/model/reading.ts';
import { compileLexicon, read, type Lexicon } from '../../src/core/understand/mod.ts';
import { languageFiles } from '../core/understand/values/lexicon.ts';

const files = languageFiles();
const MESSAGE: ReadRequest = { text: 'zorble when i floor it' };
/** The language with one phrase more. */
const taught: FlowFile[] = [
  ...files,
  { path: 'flows/language/complaints-learnt.yaml', text: 'symptoms:\n  knock:\n    phrases: zorble floor\n' },
];

describe('the lexicon that is kept', { timeout: 60_000 }, () => {
  let folder: string;
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'kept-'));
  });
  afterEach(() => rmSync(folder, { recursive: true }));

  const lexicon = async (given: FlowFile[], within: string = folder): Promise<Lexicon> => {
    const found = await lexiconOf(given, within);
    if (!found.ok) throw new Error('the files of flows/language are not sound');
    return found.value;
  };
  const kept = (): string[] => readdirSync(folder);
  const bytes = (): Buffer => readFileSync(join(folder, kept()[0] ?? ''));
  const symptoms = (from: Lexicon): string[] => read(MESSAGE, from).facts.symptoms ?? [];

  it('reads everything as the compiled one does', async () => {
    await lexicon(files);
    const again = await lexicon(files);
    const compiled = compileLexicon(files);
    if (!compiled.ok) throw new Error('the files of flows/language are not sound');
    const corpus = ['openings', 'replies', 'fresh'].flatMap((name) =>
      readFileSync(new URL(`../corpus/${name}.jsonl`, import.meta.url), 'utf8')
        .trim()
        .split('\n'),
    );
    expect(corpus.length).toBeGreaterThan(600);
    for (const line of corpus) {
      const { text, asked, lastOdometerMiles, lastReadingDate, today } = JSON.parse(line) as ReadRequest;
      const request = { text, asked, lastOdometerMiles, lastReadingDate, today };
      expect(read(request, again)).toEqual(read(request, compiled.value));
    }
  });

  it('is used as long as not one letter of its files has changed', async () => {
    await lexicon(files);
    const written = bytes();
    expect(symptoms(await lexicon(files))).toEqual([]);
    expect(bytes().equals(written)).toBe(true);
  });

  it('is never used for files that have changed, and gives its place to theirs', async () => {
    expect(symptoms(await lexicon(files))).toEqual([]);
    expect(symptoms(await lexicon(taught))).toEqual(['knock']);
    expect(kept()).toHaveLength(1);
    expect(symptoms(await lexicon(taught))).toEqual(['knock']);
    expect(symptoms(await lexicon(files))).toEqual([]);
  });

  it('is not used under another name of a file', async () => {
    await lexicon(taught);
    const renamed = taught.map((file) => ({ ...file, path: file.path.replace('complaints-learnt', 'notes') }));
    expect(symptoms(await lexicon(renamed))).toEqual([]);
  });

  it.each<[how: string, spoil: (path: string) => void]>([
    ['cut short', (path) => truncateSync(path, 1_000_000)],
    ['empty', (path) => writeFileSync(path, '')],
    ['longer than it was', (path) => appendFileSync(path, 'x')],
    [
      'changed in one place',
      (path) => {
        const content = readFileSync(path);
        content[content.length >> 1] = (content[content.length >> 1] ?? 0) ^ 1;
        writeFileSync(path, content);
      },
    ],
  ])('is compiled and kept again where the kept one is %s', async (_how, spoil) => {
    await lexicon(taught);
    spoil(join(folder, kept()[0] ?? ''));
    const spoilt = bytes();
    expect(symptoms(await lexicon(taught))).toEqual(['knock']);
    expect(kept()).toHaveLength(1);
    expect(bytes().equals(spoilt)).toBe(false);
    expect(symptoms(await lexicon(taught))).toEqual(['knock']);
  });

  it('is compiled each time where nothing can be written', async () => {
    const nowhere = join(folder, 'file');
    writeFileSync(nowhere, '');
    expect(symptoms(await lexicon(taught, nowhere))).toEqual(['knock']);
    expect(symptoms(await lexicon(taught, join(folder, 'none')))).toEqual(['knock']);
    expect(kept()).toEqual(['file']);
  });

  it('is not made of files with a slip: its findings come each time', async () => {
    const slip: FlowFile[] = [...files, { path: 'flows/language/complaints-slip.yaml', text: 'words:\n  slip: {}\n' }];
    for (const time of ['first', 'second']) {
      const found = await lexiconOf(slip, folder);
      expect(found.ok, time).toBe(false);
    }
    expect(kept()).toEqual([]);
  });
});
