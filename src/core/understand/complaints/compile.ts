import { sound, unsound, type Checked, type FlowFile, type FlowFinding } from '../../model/checked.ts';
import { parseFlowYaml } from '../../model/flow-yaml.ts';
import type { Intent, Symptom } from '../../model/ids.ts';
import { compileIntentOpinion, compileOpinion, compileWeighing, rowsOfClasses } from '../opinion/compile.ts';
import { fold } from '../text.ts';
import { Collector, findingAt, type Located } from './collector.ts';
import { grammarOf } from './grammar.ts';
import { aloneKey, SCOPE_CLASSES, type ComplaintLexicon, type Meaning, type Rule, type ScopeClass } from './lexicon.ts';
import { likenessOf } from './likeness.ts';
import { orderPattern, parsePattern } from './pattern.ts';
import { LexiconFile } from './schema.ts';
import { VocabularyBuilder } from './vocabulary-builder.ts';
import { Vocabulary } from './vocabulary.ts';

/** Each file of the complaint lexicon bears this word in its name. */
const isComplaintFile = (file: FlowFile): boolean => /(^|\/)complaints[^/]*\.ya?ml$/.test(file.path);

/**
 * Compiles the complaint files of flows/language. Every slip is a finding with file and line: a class, entry or
 * pattern that stands twice, a name that means nothing, a pattern that can never match.
 */
export function compileLexicon(files: FlowFile[]): Checked<ComplaintLexicon> {
  const located: Located[] = [];
  const findings: FlowFinding[] = [];
  for (const file of files.filter(isComplaintFile)) {
    const parsed = parseFlowYaml(file, LexiconFile);
    if (parsed.ok) located.push(parsed.value);
    else findings.push(...parsed.findings);
  }
  const opinion = compileOpinion(files);
  const wishes = compileIntentOpinion(files);
  const weighing = compileWeighing(files);
  if (!opinion.ok || !wishes.ok || !weighing.ok || findings.length > 0) {
    return unsound([findings, ...[opinion, wishes, weighing].map((part) => (part.ok ? [] : part.findings))].flat());
  }

  const all = new Collector();
  for (const file of located) all.words(file);
  for (const file of located) all.meanings(file);
  const rules = all.written.flatMap((written) => ruleOf(written, all));
  const missing = SCOPE_CLASSES.filter((name) => !all.classIds.has(name));
  for (const name of missing) {
    const message = `no file holds the class of words "${name}"`;
    all.findings.push(located[0]?.finding([], message) ?? { file: 'flows/language', line: 1, message });
  }

  const { grammar, findings: slips } = grammarOf(located);
  all.findings.push(...slips);
  const ordinary = located.flatMap((file) => file.value.ordinary.map(fold));
  const { fillers, breaks, joins, starters, contractions, politeness } = grammar;
  const vocabulary = new VocabularyBuilder([...ordinary, ...fillers, ...breaks, ...joins, ...starters]);
  for (const id of all.hides) vocabulary.hide(id);
  const holders = all.holders();
  const sizes = all.classNames.map(() => 0);
  for (const [id, entries] of all.entries) {
    const classes = holders[id] as number[];
    let size = 0;
    for (const { text } of entries) {
      vocabulary.add(wordsWithoutArticles(text, grammar.articles), classes);
      size += text.includes('*') ? 4 : 1;
    }
    for (const holder of classes) sizes[holder] = (sizes[holder] ?? 0) + size;
  }
  all.findings.push(...all.strangers());
  if (all.findings.length > 0) return unsound(all.findings);

  const words = wordsOf(rules);
  const indexed = new Map<number, Rule[]>();
  for (const { meaning, written, ...named } of rules) {
    const pattern = orderPattern(named, sizes);
    for (const anchor of pattern.parts[(pattern.order[0] as { part: number }).part] as number[]) {
      const others = indexed.get(anchor);
      const rule = { meaning, pattern, written };
      if (others) others.push(rule);
      else indexed.set(anchor, [rule]);
    }
  }
  return sound({
    vocabulary: new Vocabulary(vocabulary.parts),
    joints: {
      fillers,
      breaks,
      joins,
      starters,
      contractions,
      spellings: new Map(
        located.flatMap((file) =>
          Object.entries(file.value.grammar.spellings ?? {}).map(([word, meant]) => [fold(word), fold(meant)]),
        ),
      ),
      compounds: compoundsOf(located),
      numbers: new Map(
        located.flatMap((file) =>
          Object.entries(file.value.grammar.numbers ?? {}).map(([word, value]) => [fold(word), value]),
        ),
      ),
      units: grammar.units,
      beforeAName: grammar.beforeAName,
      spokenMarks: new Map(
        located.flatMap((file) =>
          Object.entries(file.value.grammar.spokenMarks ?? {}).map(([words, mark]) => {
            const [first = '', second] = fold(words).split(' ');
            return [first, { mark, second }];
          }),
        ),
      ),
    },
    grammar,
    skipped: new Set([...fillers, ...politeness]),
    kinds: all.kinds,
    classNames: all.classNames,
    rules: indexed,
    scope: Object.fromEntries(SCOPE_CLASSES.map((name) => [name, all.classIds.get(name)])) as Record<
      ScopeClass,
      number
    >,
    scopeOf: new Map(SCOPE_CLASSES.map((name) => [all.classIds.get(name) ?? -1, name])),
    trouble: all.trouble,
    calm: all.calm,
    wordsOf: words,
    classMeans: meaningsOf(words),
    over: overOf(located, 'symptoms') as ReadonlyMap<Symptom, ReadonlySet<Symptom>>,
    leansTo: leansToOf(located),
    intentOver: overOf(located, 'intents') as ReadonlyMap<Intent, ReadonlySet<Intent>>,
    alone: aloneOf(
      located,
      new Set([...fillers, ...politeness]),
      new Set(['not', 'none-answer', 'answer-yes', 'answer-no'].flatMap((name) => entriesOf(all, name))),
    ),
    likeness: likenessOf(
      located.flatMap(({ value }) =>
        Object.entries(value.symptoms).flatMap(([id, { phrases, reads }]) =>
          [...phrases, ...reads].map((text) => ({ symptom: id as Symptom, text: fold(text) })),
        ),
      ),
      fillers,
    ),
    opinions:
      opinion.value && wishes.value
        ? {
            symptoms: { opinion: opinion.value, classes: rowsOfClasses(opinion.value, all.classNames) },
            intents: { opinion: wishes.value, classes: rowsOfClasses(wishes.value, all.classNames) },
          }
        : undefined,
    weighing: weighing.value,
  });
}

const entriesOf = (all: Collector, name: string): string[] => {
  const id = all.classIds.get(name);
  return id === undefined ? [] : all.allEntries(id).map(({ text }) => text);
};

/** The words of an entry; it matches with and without its articles where at least two other words are left. */
function wordsWithoutArticles(entry: string, articles: ReadonlySet<string>): string[] {
  if (!entry.includes(' ')) return [entry];
  const words = entry.split(' ');
  const kept = words.filter((word) => !articles.has(word));
  return kept.length >= 2 ? kept : words;
}

interface NamedRule {
  meaning: Meaning;
  written: string;
  parts: number[][];
  joins: Rule['pattern']['joins'];
  unless: number[];
  notAfter: number[];
}

function ruleOf(written: Collector['written'][number], all: Collector): NamedRule[] {
  const { meaning, text } = written;
  const parsed = parsePattern(text);
  if (typeof parsed === 'string') {
    all.findings.push(findingAt(written, `"${text}" ${parsed}`));
    return [];
  }
  const parts = parsed.parts.map((names) => names.map((name) => all.part(name, written)));
  const unless = parsed.unless.map((name) => all.part(name, written));
  for (const part of parts) {
    if (part.every((id) => unless.includes(id))) {
      all.findings.push(findingAt(written, `"${text}" can never match: it asks for what it excludes`));
    }
  }
  const notAfter = parsed.notAfter.map((name) => all.part(name, written));
  return [{ meaning, written: text, parts, joins: parsed.joins, unless, notAfter }];
}

function wordsOf(rules: readonly NamedRule[]): Map<Symptom, Set<number>> {
  const classes = new Map<Symptom, Set<number>>();
  for (const { meaning, parts } of rules) {
    if (meaning.says !== 'symptom' && meaning.says !== 'hint') continue;
    const known = classes.get(meaning.symptom) ?? new Set<number>();
    for (const part of parts) for (const id of part) known.add(id);
    classes.set(meaning.symptom, known);
  }
  return classes;
}

/** The symptoms of each class, from the classes of each symptom. */
function meaningsOf(classes: ReadonlyMap<Symptom, ReadonlySet<number>>): Map<number, Symptom[]> {
  const meanings = new Map<number, Symptom[]>();
  for (const [symptom, ids] of classes) {
    for (const id of ids) meanings.set(id, [...(meanings.get(id) ?? []), symptom]);
  }
  return meanings;
}

function compoundsOf(located: readonly Located[]): Map<string, Map<string, string>> {
  const compounds = new Map<string, Map<string, string>>();
  for (const { value } of located) {
    for (const [words, meant] of Object.entries(value.grammar.compounds ?? {})) {
      const [first = '', second = ''] = fold(words).split(' ');
      compounds.set(first, (compounds.get(first) ?? new Map<string, string>()).set(second, fold(meant)));
    }
  }
  return compounds;
}

/** For each symptom the others that its words lean to. */
function leansToOf(located: readonly Located[]): Map<Symptom, Set<Symptom>> {
  const leansTo = new Map<Symptom, Set<Symptom>>();
  for (const { value } of located) {
    for (const [id, given] of Object.entries(value.symptoms)) {
      const known = leansTo.get(id as Symptom) ?? new Set<Symptom>();
      for (const other of given.leansTo) known.add(other);
      leansTo.set(id as Symptom, known);
    }
  }
  return leansTo;
}

function overOf(located: readonly Located[], section: 'symptoms' | 'intents'): Map<string, Set<string>> {
  const over = new Map<string, Set<string>>();
  for (const { value } of located) {
    for (const [id, given] of Object.entries(value[section])) {
      const known = over.get(id) ?? new Set<string>();
      for (const other of given.over) known.add(other);
      over.set(id, known);
    }
  }
  return over;
}

function aloneOf(
  located: readonly Located[],
  skipped: ReadonlySet<string>,
  answers: ReadonlySet<string>,
): Map<string, Intent> {
  const alone = new Map<string, Intent>();
  for (const { value } of located) {
    for (const [id, given] of Object.entries(value.intents)) {
      for (const text of given.alone) {
        const words = fold(text).split(' ');
        alone.set(words.join(' '), id as Intent);
        const key = aloneKey(words, skipped);
        // "no mas" must not become "no": what is left of an entry may be no mere answer.
        if (!answers.has(key)) alone.set(key, id as Intent);
      }
    }
  }
  return alone;
}
