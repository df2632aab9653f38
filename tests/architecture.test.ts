import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';
import ts from 'typescript';
import { describe, expect, it } from 'vitest';

const root = resolve(import.meta.dirname, '..');
const source = join(root, 'src');

const files = readdirSync(source, { recursive: true, encoding: 'utf8' })
  .filter((name) => name.endsWith('.ts'))
  .map((name) => join(source, name));

/** What a file imports, as paths from src/ for our own files and as bare names for libraries. */
function importsOf(file: string): string[] {
  return ts
    .preProcessFile(readFileSync(file, 'utf8'), true, true)
    .importedFiles.map(({ fileName }) =>
      fileName.startsWith('.') ? relative(source, resolve(dirname(file), fileName)) : fileName,
    );
}

const STAGES = ['understand', 'converse', 'advise', 'book', 'follow-up'];
const PURE_LIBRARIES = [
  'zod',
  'luxon',
  'xstate',
  'yaml',
  'js-yaml',
  '@fluent/bundle',
  'libphonenumber-js',
  'date-holidays',
  'ical-generator',
  'csv-parse',
  'csv-stringify',
];

/**
 * A command loads only the stage that it needs, by that stage's door, or it would not start within a second. Who reads
 * with a lexicon that was compiled before needs no compiler.
 */
const CLI_DOORS = /^core\/(model\/[\w-]+|(understand|advise|book|follow-up)\/mod|understand\/kept)\.ts$/;

/** Why an import is against the rule, or undefined where it is allowed. */
function objection(from: string, to: string): string | undefined {
  const [area, stage] = from.split('/');
  const own = /\.(ts|json)$/.test(to);
  if (area === 'core') {
    if (!own) {
      const pure = PURE_LIBRARIES.some((name) => to === name || to.startsWith(`${name}/`));
      return pure ? undefined : 'the core takes pure libraries only';
    }
    if (!to.startsWith('core/')) return 'the core imports nothing outside itself';
    if (stage === 'model' && !to.startsWith('core/model/')) return 'the model imports nothing but the model';
    if (STAGES.includes(stage ?? '') && !to.startsWith(`core/${stage}/`) && !to.startsWith('core/model/')) {
      return 'a stage imports the model only';
    }
    return undefined;
  }
  if (!own) return undefined;
  if (area === 'cli' && CLI_DOORS.test(to)) return undefined;
  if (to.startsWith('core/')) return to === 'core/mod.ts' ? undefined : 'the core is entered through core/mod.ts';
  if (area === 'edges') {
    if (stage === 'store' && to === '../db/migrations/mod.ts') return undefined;
    if (to === 'edges/store/types.ts' || to.startsWith(`edges/${stage}/`)) return undefined;
    return "an edge imports, of the others, the store's types only";
  }
  return undefined;
}

describe('the import rule', () => {
  it('finds the files it is to judge', () => {
    expect(files.length).toBeGreaterThan(10);
  });

  it.each(files.map((file) => [relative(source, file), file]))('%s keeps it', (name, file) => {
    const against = importsOf(file).flatMap((to) => {
      const why = objection(name, to);
      return why ? [`${to}: ${why}`] : [];
    });
    expect(against).toEqual([]);
  });

  it.each([
    ['core/advise/rules.ts', 'core/book/slots.ts', 'a stage reaches into another'],
    ['core/advise/rules.ts', 'node:fs', 'the core reads a file'],
    ['core/model/facts.ts', 'core/turn.ts', 'the model knows the turn'],
    ['edges/counter/pages.ts', 'core/turn.ts', 'an edge passes the door by'],
    ['cli/read.ts', 'core/understand/text.ts', 'a command passes the door of its stage by'],
    ['edges/counter/pages.ts', 'edges/desk/desk.ts', 'an edge knows another edge'],
  ])('objects when %s imports %s: %s', (from, to) => {
    expect(objection(from, to)).toBeTypeOf('string');
  });
});
