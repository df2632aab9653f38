import { z } from 'zod';
import { sound, unsound, type Checked, type FlowFile, type FlowFinding } from '../../model/checked.ts';
import { parseFlowYaml } from '../../model/flow-yaml.ts';
import { LANGUAGES, type Language } from '../../model/ids.ts';
import { emptyTree, PhraseTree, type PhraseTreeParts } from '../phrase-tree.ts';
import { fold, isFolded, tokenise } from '../text.ts';
import { CUES, LISTED_CUES, type Cue } from './cue-names.ts';
import { holidaysByName, type HolidayName } from './holiday-names.ts';
import { HolidayRule } from './holidays.ts';
import { compileLittleWords, holdsLittleWords, noLittleWords, type LittleWords } from './little-words.ts';

const phrases = z.array(z.union([z.string().min(1), z.number().transform(String)]));
const numberWords = z.record(z.string(), z.number().int());

/** One file of flows/language about values: the words for numbers, and the cues that give a number its role. */
export const ValuesFile = z.strictObject({
  language: z.enum(LANGUAGES),
  numbers: z.strictObject({
    units: numberWords,
    teens: numberWords,
    tens: numberWords,
    hundreds: numberWords.default({}),
    hundred: phrases.optional(),
    thousand: phrases,
    million: phrases,
    and: phrases,
    point: phrases,
    half: phrases,
    quarter: phrases,
    one: phrases,
  }),
  calendar: z.strictObject({
    weekdays: numberWords,
    months: numberWords,
    ordinals: numberWords.default({}),
    /** What each holiday is called; the files of all languages together. */
    holidays: z.record(z.string(), phrases).default({}),
  }),
  cues: z.partialRecord(z.enum(LISTED_CUES), phrases),
  /** Words that are also recognised with two letters swapped, one missing or one too many. */
  oftenMisspelt: phrases,
  /** Everyday words that are one slip away from those: never mended. */
  ordinary: phrases.default([]),
});
export type ValuesFile = z.infer<typeof ValuesFile>;

/** What is known of trucks whatever the language. */
export const CommonFile = z.strictObject({
  language: z.literal('common'),
  displacements: z.array(z.number().positive().max(30)).min(1),
  cylinderCounts: z.array(z.number().int().positive()).min(1),
  modelYears: z.strictObject({ earliest: z.number().int(), latest: z.number().int() }),
  holidays: z.record(z.string(), HolidayRule),
});
export type CommonFile = z.infer<typeof CommonFile>;

/** What one word is in a number. */
export type Numeral =
  | { is: 'unit' | 'teen' | 'ten' | 'hundreds'; value: number }
  | { is: 'hundred' | 'thousand' | 'million' | 'and' | 'point' | 'half' | 'quarter' | 'one' };

export interface LanguageWords {
  numerals: Map<string, Numeral>;
  weekdays: Map<string, number>;
  months: Map<string, number>;
  ordinals: Map<string, number>;
}

/** The compiled words of all languages. */
export interface ValuesLexicon {
  words: Record<Language, LanguageWords>;
  /**
   * For a message of each language the phrases that count in it: its own, and those of the other language that hold a
   * word which means nothing on its own in this one. So "diez mil" is read in an English message, and "once" is no 11.
   */
  phrases: Record<Language, PhraseTreeParts>;
  /** The number by which the phrases know a word; a cue is known by its place in CUES. */
  wordIds: Map<string, number>;
  /** The same for the words of numbers. */
  numerals: Record<Language, Map<string, Numeral>>;
  /** Every word that any phrase or number of any language holds. */
  vocabulary: Set<string>;
  /** Often misspelt words by their first letter. */
  oftenMisspelt: Map<string, string[]>;
  trucks: CommonFile;
  /** The rule of each holiday by what it is called. */
  holidays: ReadonlyMap<string, HolidayRule>;
  little: LittleWords;
}

/** The files of flows/language that this reader owns. */
const isValuesFile = (file: FlowFile): boolean => /(^|\/)language\/values[^/]*\.ya?ml$/.test(file.path);

/** A phrase is words with single spaces; `a/b` allows either word, a trailing `?` makes a word optional. */
export function expandPhrase(phrase: string): string[][] {
  if (isFolded(phrase)) return [phrase.split(' ')];
  let found: string[][] = [[]];
  for (const slot of phrase.trim().split(/\s+/)) {
    const optional = slot.length > 1 && slot.endsWith('?');
    const choices = (optional ? slot.slice(0, -1) : slot).split('/').filter((choice) => choice !== '');
    const words = choices.length === 0 ? [[slot]] : choices.map((choice) => tokenise(choice).map((t) => t.text));
    const grown = found.flatMap((head) => words.map((word) => [...head, ...word]));
    found = optional ? [...found, ...grown] : grown;
  }
  return found.filter((words) => words.length > 0);
}

/** Compiles flows/language/values*.yaml; duplicates, words of two meanings and phrases that cannot match are findings. */
export function compileValues(files: readonly FlowFile[]): Checked<ValuesLexicon> {
  const findings: FlowFinding[] = [];
  const lexicon: ValuesLexicon = {
    words: { en: noWords(), es: noWords() },
    phrases: { en: emptyTree(), es: emptyTree() },
    wordIds: new Map(),
    numerals: { en: new Map(), es: new Map() },
    vocabulary: new Set(),
    oftenMisspelt: new Map(),
    trucks: NO_TRUCKS,
    holidays: new Map(),
    little: noLittleWords(),
  };
  const taught: Taught = { en: { whole: new Set(), phrases: [] }, es: { whole: new Set(), phrases: [] } };
  const holidayNames: HolidayName[] = [];
  let atRule = (_: string, message: string): FlowFinding => ({ file: 'flows/language', line: 1, message });
  const own = files.filter(isValuesFile);
  for (const language of [...LANGUAGES, 'common', 'both']) {
    if (!own.some((file) => new RegExp(`^\\s*language:\\s*${language}\\b`, 'm').test(file.text))) {
      findings.push({ file: 'flows/language', line: 1, message: `no values file for the language "${language}"` });
    }
  }
  for (const file of own) {
    if (holdsLittleWords(file)) {
      lexicon.little = compileLittleWords(file, findings);
      continue;
    }
    const common = /^\s*language:\s*common\b/m.test(file.text);
    const parsed = common ? parseFlowYaml(file, CommonFile) : parseFlowYaml(file, ValuesFile);
    if (!parsed.ok) findings.push(...parsed.findings);
    else if (parsed.value.value.language === 'common') {
      const { value, finding } = parsed.value;
      lexicon.trucks = value;
      atRule = (holiday, message) => finding(['holidays', holiday], message);
    } else {
      holidayNames.push(...addFile(lexicon, taught, parsed.value.value, parsed.value.finding, findings));
    }
  }
  lexicon.holidays = holidaysByName(holidayNames, lexicon.trucks.holidays, atRule, findings);
  for (const language of LANGUAGES) joinLanguages(lexicon, taught, language);
  return findings.length > 0 ? unsound(findings) : sound(lexicon);
}

const NO_TRUCKS: CommonFile = {
  language: 'common',
  displacements: [],
  cylinderCounts: [],
  modelYears: { earliest: 0, latest: 0 },
  holidays: {},
};

const noWords = (): LanguageWords => ({
  numerals: new Map(),
  weekdays: new Map(),
  months: new Map(),
  ordinals: new Map(),
});

/** What the files teach about each language: the words that mean something on their own, and the phrases. */
type Taught = Record<Language, { whole: Set<string>; phrases: TaughtPhrase[] }>;

interface TaughtPhrase {
  path: string[];
  cue: Cue;
}

/** Puts together what counts in a message of one language. */
function joinLanguages(lexicon: ValuesLexicon, taught: Taught, language: Language): void {
  const other: Language = language === 'en' ? 'es' : 'en';
  const { whole } = taught[language];
  const tree = new PhraseTree(lexicon.phrases[language]);
  const add = ({ path, cue }: TaughtPhrase): void => {
    let end = tree.root;
    for (const word of path) end = tree.grown(end, idOf(word, lexicon.wordIds), false);
    tree.end(end, CUE_IDS[cue]);
  };
  taught[language].phrases.forEach(add);
  taught[other].phrases.filter(({ path }) => path.some((word) => !whole.has(word))).forEach(add);
  const own = lexicon.words[language].numerals;
  const foreign = [...lexicon.words[other].numerals].filter(([word]) => !whole.has(word));
  lexicon.numerals[language] = new Map([...foreign, ...own]);
}

type Finder = (keys: readonly PropertyKey[], message: string) => FlowFinding;

function addFile(
  lexicon: ValuesLexicon,
  taught: Taught,
  file: ValuesFile,
  finding: Finder,
  findings: FlowFinding[],
): HolidayName[] {
  const { language } = file;
  const words = lexicon.words[language];
  const { vocabulary } = lexicon;
  const { whole, phrases } = taught[language];
  const learn = <V>(into: Map<string, V>, keys: PropertyKey[], text: string, value: V): void => {
    const folded = fold(text);
    if (tokenise(text).length !== 1) findings.push(finding(keys, `"${text}" must be a single word`));
    if (into.has(folded)) findings.push(finding(keys, `"${text}" is given twice`));
    into.set(folded, value);
    vocabulary.add(folded);
    whole.add(folded);
  };
  for (const [list, is] of Object.entries({
    units: 'unit',
    teens: 'teen',
    tens: 'ten',
    hundreds: 'hundreds',
  } as const)) {
    const from = file.numbers[list as 'units'];
    for (const [text, value] of Object.entries(from)) {
      learn<Numeral>(words.numerals, ['numbers', list, text], text, { is, value });
    }
  }
  for (const is of ['hundred', 'thousand', 'million', 'and', 'point', 'half', 'quarter', 'one'] as const) {
    (file.numbers[is] ?? []).forEach((text, index) =>
      learn<Numeral>(words.numerals, ['numbers', is, index], text, { is }),
    );
  }
  for (const list of ['weekdays', 'months', 'ordinals'] as const) {
    for (const [text, value] of Object.entries(file.calendar[list])) {
      learn(words[list], ['calendar', list, text], text, value);
    }
  }
  const holidayNames = Object.entries(file.calendar.holidays).flatMap(([holiday, names]) =>
    names.flatMap((written, index) =>
      expandPhrase(written).map((path): HolidayName => {
        phrases.push({ path, cue: 'holiday' });
        if (path.length === 1) whole.add(path.join(' '));
        for (const word of path) vocabulary.add(word);
        const place = ['calendar', 'holidays', holiday, index];
        return { holiday, name: path.join(' '), finding: (message) => finding(place, message) };
      }),
    ),
  );
  for (const cue of LISTED_CUES) {
    if (file.cues[cue]) continue;
    findings.push(finding(['cues'], `cues.${cue}: the list is missing; [] says that the language has no such words`));
  }
  for (const [cue, list] of Object.entries(file.cues) as [Cue, string[]][]) {
    const seen = new Set<string>();
    list.forEach((phrase, index) => {
      for (const path of expandPhrase(phrase)) {
        const joined = path.join(' ');
        if (seen.has(joined)) findings.push(finding(['cues', cue, index], `"${joined}" is given twice under ${cue}`));
        seen.add(joined);
        phrases.push({ path, cue });
        if (path.length === 1) whole.add(joined);
        for (const word of path) vocabulary.add(word);
      }
    });
  }
  for (const text of file.ordinary) vocabulary.add(fold(text));
  file.oftenMisspelt.forEach((text, index) => {
    const word = fold(text);
    if (!vocabulary.has(word)) {
      findings.push(
        finding(['oftenMisspelt', index], `"${text}" occurs in no number and no cue, so it can never matter`),
      );
    }
    const first = word.slice(0, 1);
    lexicon.oftenMisspelt.set(first, [...(lexicon.oftenMisspelt.get(first) ?? []), word]);
  });
  return holidayNames;
}

const CUE_IDS = Object.fromEntries(CUES.map((cue, place) => [cue, [place]])) as Record<Cue, [number]>;

function idOf(word: string, ids: Map<string, number>): number {
  let id = ids.get(word);
  if (id === undefined) ids.set(word, (id = ids.size));
  return id;
}
