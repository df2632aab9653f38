import { sound, unsound, type Checked, type FlowFile, type FlowFinding } from '../../model/checked.ts';
import { parseFlowYaml, type LocatedYaml } from '../../model/flow-yaml.ts';
import type { Intent, Symptom } from '../../model/ids.ts';
import { fold, isFolded } from '../text.ts';
import { SCOPE_CLASSES, type ComplaintLexicon, type Meaning, type Rule, type ScopeClass } from './lexicon.ts';
import { likenessOf } from './likeness.ts';
import { orderPattern, parsePattern } from './pattern.ts';
import { LexiconFile } from './schema.ts';
import { isRange, Vocabulary } from './vocabulary.ts';

type Located = LocatedYaml<LexiconFile>;

/** Each file of the complaint lexicon bears this word in its name. */
const isComplaintFile = (file: FlowFile): boolean => /(^|\/)complaints[^/]*\.ya?ml$/.test(file.path);

/** Folds an entry as messages are folded, and keeps its signs `~ * _ <n>`. */
export const foldEntry = (entry: string): string =>
  entry
    .split(' ')
    .filter((word) => word !== '')
    .map((word) => {
      if (isRange(word)) return word;
      const sign = /[~*]$/.exec(word)?.[0] ?? '';
      const body = sign ? word.slice(0, -1) : word;
      return (isFolded(body) ? body : body.split('_').map(fold).join('_')) + sign;
    })
    .join(' ');

/** Where something stands in the files; thousands are made at every start and hardly one is ever looked at. */
interface Place {
  file: Located;
  keys: readonly (string | number)[];
}
const findingAt = ({ file, keys }: Place, message: string): FlowFinding => file.finding(keys, message);

interface Entry extends Place {
  text: string;
}

/** Collects what all files hold, with a finding for whatever stands twice or refers to nothing. */
class Collector {
  readonly findings: FlowFinding[] = [];
  readonly classIds = new Map<string, number>();
  readonly classNames: string[] = [];
  readonly kinds: (string | undefined)[] = [];
  readonly hides = new Set<number>();
  readonly trouble = new Set<number>();
  readonly calm = new Set<number>();
  readonly entries = new Map<number, Entry[]>();
  readonly includes = new Map<number, (Place & { name: string })[]>();
  readonly written: (Entry & { meaning: Meaning })[] = [];
  readonly used = new Set<number>();

  classId(name: string): number {
    let id = this.classIds.get(name);
    if (id === undefined) {
      id = this.classNames.length;
      this.classIds.set(name, id);
      this.classNames.push(name);
      this.kinds.push(undefined);
      this.entries.set(id, []);
    }
    return id;
  }

  words(file: Located): void {
    for (const [name, given] of Object.entries(file.value.words)) {
      const at = ['words', name];
      if (this.classIds.has(name)) this.findings.push(file.finding(at, `words.${name}: this class stands twice`));
      const id = this.classId(name);
      this.kinds[id] = given.kind;
      if (given.hides || given.kind !== undefined) this.hides.add(id);
      if (given.trouble) this.trouble.add(id);
      if (given.calm) this.calm.add(id);
      this.includes.set(
        id,
        given.also.map((other, index) => ({ name: other, file, keys: [...at, 'also', index] })),
      );
      const seen = new Map<string, string>();
      for (const language of ['en', 'es'] as const) {
        given[language].forEach((entry, index) => {
          const text = foldEntry(entry);
          const place = { file, keys: [...at, language, index] };
          const before = seen.get(text);
          if (text === '') {
            this.findings.push(findingAt(place, `"${entry}" holds no letter or digit and can never match`));
          } else if (before === language) {
            this.findings.push(findingAt(place, `"${entry}" stands twice in ${name}`));
          } else if (before === undefined) {
            this.entries.get(id)?.push({ text, ...place });
          }
          seen.set(text, language);
        });
      }
      if (given.en.length + given.es.length + given.also.length === 0) {
        this.findings.push(file.finding(at, `words.${name}: an empty class can never match`));
      }
    }
  }

  meanings(file: Located): void {
    const { symptoms, denials, dangers, intents, facts } = file.value;
    const add = (meaning: Meaning, keys: (string | number)[], patterns: readonly string[]): void =>
      patterns.forEach((text, index) => this.written.push({ meaning, text, file, keys: [...keys, index] }));
    const phrases = (entries: readonly string[]): string[] => entries.map((entry) => `(${entry.replace(/[()]/g, '')})`);
    for (const [id, given] of Object.entries(symptoms)) {
      const symptom = id as Symptom;
      const keys = ['symptoms', id];
      add({ says: 'symptom', symptom }, [...keys, 'phrases'], phrases(given.phrases));
      add({ says: 'symptom', symptom }, [...keys, 'patterns'], given.patterns);
      add({ says: 'hint', symptom }, [...keys, 'hints'], given.hints);
      add({ says: 'absent', symptom }, [...keys, 'absent'], given.absent);
    }
    denials.forEach(({ when, denies }, index) => add({ says: 'denial', denies }, ['denials', index, 'when'], [when]));
    dangers.forEach(({ word, ask, unless }, index) => {
      const veto = unless.length > 0 ? ` unless ${unless.join(' | ')}` : '';
      add({ says: 'danger', ask }, ['dangers', index, 'word'], [word + veto]);
    });
    for (const [id, given] of Object.entries(intents)) {
      const meaning: Meaning = { says: 'intent', intent: id as Intent, otherwise: false };
      add(meaning, ['intents', id, 'phrases'], phrases(given.phrases));
      add(meaning, ['intents', id, 'patterns'], given.patterns);
      add({ ...meaning, otherwise: true }, ['intents', id, 'otherwise'], given.otherwise);
    }
    for (const [id, given] of Object.entries(facts)) {
      const fact = id as keyof typeof facts;
      const say = (value: boolean, asked: boolean, unsure: boolean): Meaning => ({
        says: 'fact',
        fact,
        value,
        asked,
        unsure,
      });
      add(say(true, false, false), ['facts', id, 'yes'], given.yes);
      add(say(false, false, false), ['facts', id, 'no'], given.no);
      add(say(true, true, false), ['facts', id, 'yesWhenAsked'], given.yesWhenAsked);
      add(say(false, true, false), ['facts', id, 'noWhenAsked'], given.noWhenAsked);
      add(say(true, true, true), ['facts', id, 'unsureWhenAsked'], given.unsureWhenAsked);
    }
  }

  /** The class of a name in a pattern; words in brackets are a class of their own. */
  part(name: string, place: Place): number {
    if (!name.startsWith('(')) {
      const id = this.classIds.get(name);
      if (id === undefined) this.findings.push(findingAt(place, `no class of words is called "${name}"`));
      return id ?? -1;
    }
    const text = foldEntry(name.slice(1, -1));
    if (text === '') this.findings.push(findingAt(place, `${name} holds no letter or digit and can never match`));
    const key = `(${text})`;
    const known = this.classIds.has(key);
    const id = this.classId(key);
    if (!known) this.entries.get(id)?.push({ text, file: place.file, keys: place.keys });
    return id;
  }

  /** For each class those that hold its entries: itself, and whatever includes it, at any depth. */
  holders(): number[][] {
    const holders: number[][] = this.classNames.map(() => []);
    const reach = (id: number, holder: number): void => {
      if (holders[id]?.includes(holder)) return;
      holders[id]?.push(holder);
      for (const { name } of this.includes.get(id) ?? []) {
        const other = this.classIds.get(name);
        if (other !== undefined) reach(other, holder);
      }
    };
    for (let id = 0; id < this.classNames.length; id++) reach(id, id);
    return holders;
  }

  /** All entries of a class with those of the classes it includes; a circle of inclusions ends by itself. */
  allEntries(id: number, seen = new Set<number>()): Entry[] {
    if (seen.has(id)) return [];
    seen.add(id);
    const own = this.entries.get(id) ?? [];
    const others = (this.includes.get(id) ?? []).flatMap((place) => {
      const other = this.classIds.get(place.name);
      if (other === undefined) this.findings.push(findingAt(place, `no class of words is called "${place.name}"`));
      return other === undefined ? [] : this.allEntries(other, seen);
    });
    return [...own, ...others];
  }
}

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
  if (findings.length > 0) return unsound(findings);

  const all = new Collector();
  for (const file of located) all.words(file);
  for (const file of located) all.meanings(file);
  const rules = all.written.flatMap((written) => ruleOf(written, all));
  const missing = SCOPE_CLASSES.filter((name) => !all.classIds.has(name));
  for (const name of missing) {
    const message = `no file holds the class of words "${name}"`;
    all.findings.push(located[0]?.finding([], message) ?? { file: 'flows/language', line: 1, message });
  }

  const list = (
    key:
      | 'fillers'
      | 'breaks'
      | 'joins'
      | 'starters'
      | 'units'
      | 'alternatives'
      | 'politeness'
      | 'contractions'
      | 'articles',
  ): Set<string> => new Set(located.flatMap((file) => (file.value.grammar[key] ?? []).map(fold)));
  const ordinary = located.flatMap((file) => file.value.ordinary.map(fold));
  const fillers = list('fillers');
  const units = list('units');
  const articles = list('articles');
  const vocabulary = new Vocabulary([
    ...ordinary,
    ...fillers,
    ...list('breaks'),
    ...list('joins'),
    ...list('starters'),
  ]);
  const sizes: number[] = [];
  for (let id = 0; id < all.classNames.length; id++) {
    const entries = all.allEntries(id);
    sizes[id] = entries.reduce((sum, { text }) => sum + (text.includes('*') ? 4 : 1), 0);
  }
  for (const id of all.hides) vocabulary.hide(id);
  const holders = all.holders();
  for (const [id, entries] of all.entries) {
    for (const { text } of entries) vocabulary.add(withoutArticles(text, articles), holders[id] as number[]);
  }
  if (all.findings.length > 0) return unsound(all.findings);

  const indexed = new Map<number, Rule[]>();
  for (const { meaning, written, parts, joins, unless } of rules) {
    const pattern = orderPattern(parts, joins, unless, sizes);
    for (const anchor of pattern.parts[(pattern.order[0] as { part: number }).part] as number[]) {
      const others = indexed.get(anchor);
      const rule = { meaning, pattern, written };
      if (others) others.push(rule);
      else indexed.set(anchor, [rule]);
    }
  }
  return sound({
    vocabulary,
    joints: {
      fillers,
      breaks: list('breaks'),
      joins: list('joins'),
      starters: list('starters'),
      contractions: list('contractions'),
      spellings: new Map(
        located.flatMap((file) =>
          Object.entries(file.value.grammar.spellings ?? {}).map(([word, meant]) => [fold(word), fold(meant)]),
        ),
      ),
      numbers: new Map(
        located.flatMap((file) =>
          Object.entries(file.value.grammar.numbers ?? {}).map(([word, value]) => [fold(word), value]),
        ),
      ),
      isUnit: (text) => units.has(text),
      isKnown: (text) => vocabulary.knows(text),
    },
    alternatives: list('alternatives'),
    politeness: list('politeness'),
    skipped: new Set([...fillers, ...list('politeness')]),
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
    wordsOf: wordsOf(rules),
    over: overOf(located, 'symptoms') as ReadonlyMap<Symptom, ReadonlySet<Symptom>>,
    intentOver: overOf(located, 'intents') as ReadonlyMap<Intent, ReadonlySet<Intent>>,
    alone: aloneOf(
      located,
      new Set([...fillers, ...list('politeness')]),
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
  });
}

const entriesOf = (all: Collector, name: string): string[] => {
  const id = all.classIds.get(name);
  return id === undefined ? [] : all.allEntries(id).map(({ text }) => text);
};

/** An entry matches with and without its articles; at least two other words must be left to leave them out. */
function withoutArticles(entry: string, articles: ReadonlySet<string>): string {
  const words = entry.split(' ');
  const kept = words.filter((word) => !articles.has(word));
  return kept.length >= 2 ? kept.join(' ') : entry;
}

interface NamedRule {
  meaning: Meaning;
  written: string;
  parts: number[][];
  joins: Rule['pattern']['joins'];
  unless: number[];
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
  return [{ meaning, written: text, parts, joins: parsed.joins, unless }];
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

/** The key under which a whole message is known: its folded words without fillers. */
export const aloneKey = (words: readonly string[], skipped: ReadonlySet<string>): string => {
  const kept = words.filter((word) => !skipped.has(word));
  return (kept.length > 0 ? kept : words).join(' ');
};

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
