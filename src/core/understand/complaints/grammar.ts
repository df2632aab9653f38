import type { FlowFinding } from '../../model/checked.ts';
import { fold } from '../text.ts';
import type { Located } from './collector.ts';

/**
 * The lists of little words on which the reading of complaints rests. They stand under `grammar` in
 * flows/language/complaints-scopes.yaml, each with a sentence that says what it is for.
 */
export const GRAMMAR_LISTS = [
  // How a text is divided
  'articles',
  'fillers',
  'breaks',
  'joins',
  'alternatives',
  'contractions',
  'starters',
  'units',
  'beforeAName',
  'politeness',
  // What a "not" denies
  'answeringNo',
  'stating',
  'ceasing',
  'ceased',
  'goingOnEndings',
  'without',
  'doingEndings',
  'doneTo',
  'beginsAnother',
  'whatItIsNot',
  'pointsAtIt',
  'whatItIs',
  'listsDenials',
  'afterABareNo',
  'beforeItsNo',
  'endsInNot',
  'notAtAll',
  'lookingFor',
  'allBut',
  'untilNow',
  'offAsAnswer',
  'mineOwn',
  'notOnes',
  'isThere',
  'alsoNo',
  'beforeSomebodyActs',
  'actingPeople',
  'ownNo',
  // Whose truck, and when
  'greetings',
  'placeOrTime',
  'beforeAPlace',
  'inAYear',
  'ofThatTime',
  'comesAndGoes',
  'isNew',
  'thisIs',
  'belongsBefore',
  'vehicles',
  'joinsAMachine',
  'besideAMachine',
  'foundOut',
  'supposingStems',
  'asking',
  'askingYesOrNo',
  'namesAnotherThing',
  'ownHand',
  // Answers to a yes-or-no question
  'noAnswer',
  'knowing',
  'yesByVerb',
  'takesBack',
  'another',
  // Facts that are told in passing
  'listedYes',
  'listedNo',
  'owning',
  'pointing',
  'pointedAt',
  'noneOf',
  'ofThem',
  'doesSo',
  'doesNotSo',
  'afterDoesSo',
  'soNot',
  'evenSo',
  'ofAllTimes',
  'otherPeople',
  'havingIt',
  'doneWith',
  'withThis',
  'asksOfIt',
  'asksWithMark',
  'askedOf',
] as const;
export type GrammarList = (typeof GRAMMAR_LISTS)[number];

/** Each list as a set of folded words. */
export type Grammar = Readonly<Record<GrammarList, ReadonlySet<string>>>;

/** The lists of all files, with a finding for each that no file holds and for each entry that stands twice in one. */
export function grammarOf(files: readonly Located[]): { grammar: Grammar; findings: FlowFinding[] } {
  const findings: FlowFinding[] = [];
  const grammar = Object.fromEntries(GRAMMAR_LISTS.map((name) => [name, new Set<string>()])) as Record<
    GrammarList,
    Set<string>
  >;
  for (const file of files) {
    for (const name of GRAMMAR_LISTS) {
      (file.value.grammar[name] ?? []).forEach((entry, index) => {
        const text = fold(entry);
        if (grammar[name].has(text)) {
          findings.push(file.finding(['grammar', name, index], `grammar.${name}: "${entry}" stands twice`));
        }
        grammar[name].add(text);
      });
    }
  }
  const holder = files.find(({ value }) => GRAMMAR_LISTS.some((name) => (value.grammar[name] ?? []).length > 0));
  for (const name of GRAMMAR_LISTS) {
    if (grammar[name].size > 0) continue;
    const message = `no file holds the list of words "grammar.${name}"`;
    findings.push((holder ?? files[0])?.finding(['grammar'], message) ?? { file: 'flows/language', line: 1, message });
  }
  return { grammar, findings };
}

/** How many letters stand at least before an ending: "ring" ends in no "ing" of a doing. */
const LETTERS_BEFORE = 3;

/** Whether a word ends in one of these endings, with enough of a word before it. */
export function endsIn(word: string, endings: ReadonlySet<string>): boolean {
  for (const ending of endings) if (word.length >= ending.length + LETTERS_BEFORE && word.endsWith(ending)) return true;
  return false;
}

/** Whether a word begins with one of these stems. */
export function beginsWith(word: string, stems: ReadonlySet<string>): boolean {
  for (const stem of stems) if (word.startsWith(stem)) return true;
  return false;
}
