import type { FlowFinding } from '../../model/checked.ts';
import type { LocatedYaml } from '../../model/flow-yaml.ts';
import type { Intent, Symptom } from '../../model/ids.ts';
import { fold, isFolded } from '../text.ts';
import type { Meaning } from './lexicon.ts';
import type { LexiconFile } from './schema.ts';
import { isRange } from './vocabulary-builder.ts';

export type Located = LocatedYaml<LexiconFile>;

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

/** The file that `telltale learn --write` adds to. */
const isTaught = ({ path }: Located): boolean => path.endsWith('complaints-learnt.yaml');

/** Where something stands in the files; thousands are made at every start and hardly one is ever looked at. */
export interface Place {
  file: Located;
  keys: readonly (string | number)[];
}
export const findingAt = ({ file, keys }: Place, message: string): FlowFinding => file.finding(keys, message);

export interface Entry extends Place {
  text: string;
}

/** Collects what all files hold, with a finding for whatever stands twice or refers to nothing. */
export class Collector {
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
      const asWritten: Meaning = isTaught(file)
        ? { says: 'symptom', symptom, taught: true }
        : { says: 'symptom', symptom };
      add(asWritten, [...keys, 'phrases'], phrases(given.phrases));
      add({ says: 'symptom', symptom }, [...keys, 'patterns'], given.patterns);
      add({ says: 'symptom', symptom, sure: true }, [...keys, 'sure'], given.sure);
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
      add({ says: 'topic', fact }, ['facts', id, 'named'], given.named);
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
      for (const other of this.included(id)) reach(other, holder);
    };
    for (let id = 0; id < this.classNames.length; id++) reach(id, id);
    return holders;
  }

  /** The classes that a class includes by name. */
  included(id: number): number[] {
    return (this.includes.get(id) ?? []).flatMap(({ name }) => this.classIds.get(name) ?? []);
  }

  /** A finding for each name of an included class that no class has. */
  strangers(): FlowFinding[] {
    return [...this.includes.values()]
      .flat()
      .filter(({ name }) => !this.classIds.has(name))
      .map((place) => findingAt(place, `no class of words is called "${place.name}"`));
  }

  /** All entries of a class with those of the classes it includes; a circle of inclusions ends by itself. */
  allEntries(id: number, seen = new Set<number>()): Entry[] {
    if (seen.has(id)) return [];
    seen.add(id);
    return [...(this.entries.get(id) ?? []), ...this.included(id).flatMap((other) => this.allEntries(other, seen))];
  }
}
