import { z } from 'zod';
import type { FlowFile, FlowFinding } from '../../model/checked.ts';
import { parseFlowYaml, type LocatedYaml } from '../../model/flow-yaml.ts';
import type { TellingWords } from '../language.ts';
import { fold } from '../text.ts';

/**
 * Single words that are looked for at one place beside a number, a day or an answer, whatever the language of the
 * message. They stand in flows/language/values-little-words.yaml, where a sentence says what each list is for.
 */
export const LITTLE_WORDS = [
  // Which of two values
  'plainNo',
  'bareNo',
  'but',
  'ruledOutFirst',
  'goesOnAfterAHedge',
  'joinsClauses',
  'ofWhat',
  // Years
  'modelWord',
  'modelYearShort',
  'limits',
  'limitOf',
  'noDeed',
  'aroundAYear',
  'endsOrDates',
  'numberedThing',
  'age',
  'ordinalEndings',
  // Engines
  'oneArticle',
  'spokenEngineArticles',
  'engineOwners',
  'countsCylinders',
  'beforeAnEngine',
  'oldWord',
  'liquidBefore',
  'liquidAfter',
  'perHundred',
  'vLetter',
  'vLetterHeard',
  'countNotPlace',
  'inlineWord',
  'fuelNamed',
  'fuelNamedWith',
  'beforeAFuel',
  // Mileages
  'services',
  'determiners',
  'journeys',
  'readsOut',
  'speedMayFollow',
  'namesNoOdometer',
  'distanceReached',
  'paceStems',
  'workdays',
  'saturday',
  'estimates',
  'onWord',
  'changeOf',
  'sinceWord',
  'sinceThat',
  'aboutWhat',
  'bothJoins',
  'bothBetween',
  'vagueEnding',
  'every',
  'beforeAnIdentifier',
  'moneyThousand',
  'loadOf',
  'ownThings',
  'onOtherThings',
  'workAt',
  'namesAThing',
  'passives',
  'pastPassives',
  'hadThen',
  'pointsBack',
  'newWord',
  // Numbers
  'halves',
  'ofAMillion',
  'commaReadOut',
  'thousandAlone',
  'tensAnd',
  'rangeAnd',
  'rangeTo',
  'joinsCodes',
  'lettersAndWords',
  // Days
  'betweenDayAndDate',
  'dateArticles',
  'theDay',
  'inAMonth',
  'monthOrVerb',
  'verbSubjects',
  'afterMay',
  'lastOfMonth',
  'secondOfMonth',
  'ofAMonth',
  'monthArticles',
  'ofAYear',
  'beforeAYear',
  'upToADate',
  'countedFrom',
  'weekOn',
  'fromTodayIn',
  'inSoMany',
  'within',
  'couple',
  'oneWeek',
  'weekArticles',
  'coming',
  'tooSoon',
  'wheneverWord',
  'wheneverSubjects',
  'wheneverVerbs',
  'boundIncluded',
  'boundExcluded',
  'rightAfter',
  'rightBefore',
  'beforeAHoliday',
  'therefore',
  'eitherDay',
  'movesAVisit',
  // Parts of the day
  'eitherHour',
  'hoursFrom',
  'hoursTo',
  'amWord',
  'pmWord',
  'amIsAVerb',
  'earlyWord',
  'earlyIn',
  // Yes and no
  'weakYes',
  'turnsRound',
] as const;
export type LittleWord = (typeof LITTLE_WORDS)[number];

/** Words with commas between them. */
const Entries = z
  .string()
  .transform((text) =>
    text
      .split(',')
      .map((entry) => entry.trim())
      .filter((entry) => entry !== ''),
  )
  .default([]);

const Counts = z.record(z.string(), z.int());
const Letters = z.record(z.string(), z.string().regex(/^[PCBU]$/, 'expected the first letter of a trouble code'));

const Languages = z.strictObject({ en: Entries, es: Entries, either: Entries });

/** The file of little words: each list in English and in Spanish. */
export const LittleWordsFile = z.strictObject({
  language: z.literal('both'),
  words: z.partialRecord(z.enum(LITTLE_WORDS), z.strictObject({ en: Entries, es: Entries })),
  /** "Every other week": a small count after the word for "every". */
  counts: Counts,
  /** The first letter of a trouble code by its name as it is written down by ear. */
  codeLetters: Letters,
  /** By which words a message is taken for one language or the other. */
  languages: Languages,
});
export type LittleWordsFile = z.infer<typeof LittleWordsFile>;

/** The lists as folded words. */
export interface LittleWords {
  lists: Readonly<Record<LittleWord, ReadonlySet<string>>>;
  counts: ReadonlyMap<string, number>;
  codeLetters: ReadonlyMap<string, string>;
  telling: TellingWords;
}

export const noLittleWords = (): LittleWords => ({
  lists: Object.fromEntries(LITTLE_WORDS.map((name) => [name, new Set()])) as unknown as LittleWords['lists'],
  counts: new Map(),
  codeLetters: new Map(),
  telling: new Map(),
});

/** Whether a text of flows/language is the file of little words. */
export const holdsLittleWords = ({ text }: FlowFile): boolean => /^\s*language:\s*both\b/m.test(text);

/** Reads the file of little words; a list that it lacks or leaves empty, and a word that stands twice, are findings. */
export function compileLittleWords(file: FlowFile, findings: FlowFinding[]): LittleWords {
  const parsed = parseFlowYaml(file, LittleWordsFile);
  if (!parsed.ok) {
    findings.push(...parsed.findings);
    return noLittleWords();
  }
  const { value } = parsed.value;
  const folded = <T>(given: Record<string, T>): Map<string, T> =>
    new Map(Object.entries(given).map(([word, meant]) => [fold(word), meant]));
  return {
    lists: Object.fromEntries(LITTLE_WORDS.map((name) => [name, listOf(name, parsed.value, findings)])) as Record<
      LittleWord,
      Set<string>
    >,
    counts: folded(value.counts),
    codeLetters: folded(value.codeLetters),
    telling: tellingWords(parsed.value, findings),
  };
}

function tellingWords({ value, finding }: LocatedYaml<LittleWordsFile>, findings: FlowFinding[]): TellingWords {
  const telling = new Map<string, number>();
  for (const [list, says] of [
    ['either', 0],
    ['en', -1],
    ['es', 1],
  ] as const) {
    const words = value.languages[list].map(fold);
    if (words.length === 0) findings.push(finding(['languages'], `languages.${list}: an empty list tells nothing`));
    for (const word of words) {
      if (telling.has(word)) findings.push(finding(['languages', list], `languages.${list}: "${word}" stands twice`));
      telling.set(word, says);
    }
  }
  return telling;
}

function listOf(
  name: LittleWord,
  { value, finding }: LocatedYaml<LittleWordsFile>,
  findings: FlowFinding[],
): Set<string> {
  const given = value.words[name];
  const list = new Set<string>();
  for (const language of ['en', 'es'] as const) {
    const own = (given?.[language] ?? []).map(fold);
    own.forEach((word, index) => {
      const twice = own.indexOf(word) < index;
      if (twice) findings.push(finding(['words', name, language], `words.${name}: "${word}" stands twice`));
      list.add(word);
    });
  }
  if (list.size === 0) findings.push(finding(['words'], `no file holds the list of words "words.${name}"`));
  return list;
}
