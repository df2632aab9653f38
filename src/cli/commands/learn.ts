import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { stderr, stdin, stdout } from 'node:process';
import { text as readAll } from 'node:stream/consumers';
import { fileURLToPath } from 'node:url';
import { z } from 'zod';
import type { FlowFile } from '../../core/model/checked.ts';
import { ReadRequest } from '../../core/model/reading.ts';
import {
  compileLexicon,
  isRead,
  lessonFile,
  lessonsOf,
  read,
  type LabelledClause,
  type Lesson,
  type Lexicon,
} from '../../core/understand/mod.ts';
import { FLOWS_FOLDER, readFlowsFolder } from '../../flows-folder.ts';
import { orExit } from './flows.ts';

export const USAGE = 'learn [--write] < labelled-clauses.jsonl';

const FILE = 'flows/language/complaints-learnt.yaml';
const CORPUS = ['openings', 'replies'].map((name) =>
  fileURLToPath(new URL(`../../../tests/corpus/${name}.jsonl`, import.meta.url)),
);
const Labelled = z.strictObject({ clause: z.string().min(1).max(4000), label: z.string().min(1) });

/**
 * Turns the clauses that the shop has labelled into lines of the lexicon, and prints them with the name of their file,
 * or writes them there with --write. A line that changes how any message of the development corpus reads is left out.
 * Exit 1 where a line of the input is none, or where a clause is still not read.
 */
export async function run(words: string[]): Promise<number> {
  const writes = words.length === 1 && words[0] === '--write';
  if (words.length > 0 && !writes) {
    stderr.write(`usage: ${USAGE}\n`);
    return 2;
  }
  const { labelled, refused } = parse(await readAll(stdin));
  const files = readFlowsFolder().filter(({ path }) => path.includes('/language/'));
  const lexicon = orExit(compileLexicon(files));
  const { lessons, without } = lessonsOf(labelled, lexicon);
  for (const { clause, because } of without) stderr.write(`${because}: ${JSON.stringify(clause)}\n`);

  const before = taught(files);
  const corpus = corpusRequests();
  const kept: Lesson[] = [];
  let unread = 0;
  for (const lesson of lessons) {
    const learnt = compileLexicon(withLessons(files, [...before, ...kept, lesson]));
    if (!learnt.ok) {
      stderr.write(`no phrase of the lexicon: ${JSON.stringify(lesson.clause)}\n`);
      unread++;
    } else if (!isRead(lesson.clause, lesson.teaches, learnt.value)) {
      stderr.write(`still not read: ${JSON.stringify(lesson.clause)}\n`);
      unread++;
    } else {
      const changed = corpus.find((request) => differs(request, lexicon, learnt.value));
      if (changed)
        stderr.write(`left out, since ${JSON.stringify(changed.text)} would read otherwise: ${lesson.phrase}\n`);
      else kept.push(lesson);
    }
  }
  const yaml = lessonFile([...before, ...kept]);
  if (!writes) stdout.write(`# ${FILE}\n${yaml}`);
  else if (kept.length > 0) writeFileSync(join(FLOWS_FOLDER, '..', FILE), yaml);
  stderr.write(
    `${kept.length} of ${labelled.length} clauses learnt, against ${corpus.length} messages that read as before\n`,
  );
  return refused + unread > 0 ? 1 : 0;
}

function parse(text: string): { labelled: LabelledClause[]; refused: number } {
  const labelled: LabelledClause[] = [];
  let refused = 0;
  text.split('\n').forEach((line, index) => {
    if (line.trim() === '') return;
    const parsed = Labelled.safeParse(asJson(line));
    if (parsed.success) labelled.push(parsed.data);
    else {
      stderr.write(`line ${index + 1}: expected {"clause": "…", "label": "a symptom, intent:ID or nothing"}\n`);
      refused++;
    }
  });
  return { labelled, refused };
}

function asJson(line: string): unknown {
  try {
    return JSON.parse(line);
  } catch {
    return undefined;
  }
}

const withLessons = (files: FlowFile[], lessons: readonly Pick<Lesson, 'phrase' | 'teaches'>[]): FlowFile[] => [
  ...files.filter(({ path }) => path !== FILE),
  { path: FILE, text: lessonFile(lessons) },
];

/** What the file holds from earlier runs. */
function taught(files: readonly FlowFile[]): Pick<Lesson, 'phrase' | 'teaches'>[] {
  const file = files.find(({ path }) => path === FILE);
  const found: Pick<Lesson, 'phrase' | 'teaches'>[] = [];
  let section = '';
  let id = '';
  for (const line of file?.text.split('\n') ?? []) {
    section = /^(symptoms|intents):$/.exec(line)?.[1] ?? section;
    id = /^ {2}([a-z-]+):$/.exec(line)?.[1] ?? id;
    const phrases = /^ {4}phrases: "(.*)"$/.exec(line)?.[1];
    for (const phrase of phrases?.split(', ') ?? []) {
      const teaches = section === 'symptoms' ? { symptom: id } : { intent: id };
      found.push({ phrase, teaches: teaches as Lesson['teaches'] });
    }
  }
  return found;
}

/** The messages of the development corpus, where the checkout has them. */
function corpusRequests(): ReadRequest[] {
  return CORPUS.filter((path) => existsSync(path)).flatMap((path) =>
    readFileSync(path, 'utf8')
      .trim()
      .split('\n')
      .map((line) => {
        const { text, asked, lastOdometerMiles, lastReadingDate, today } = JSON.parse(line) as ReadRequest;
        return ReadRequest.parse({ text, asked, lastOdometerMiles, lastReadingDate, today });
      }),
  );
}

const readingOf = (request: ReadRequest, lexicon: Lexicon): string => {
  const { facts, ask } = read(request, lexicon);
  return JSON.stringify({ facts, ask });
};
const differs = (request: ReadRequest, one: Lexicon, other: Lexicon): boolean =>
  readingOf(request, one) !== readingOf(request, other);
