import type { Message, Token } from '../text.ts';

/** One word, number or pictograph of a message, with the clause it stands in. */
export interface Word {
  text: string;
  /** With the "'s" that `text` leaves out: "buddys" beside "buddy". */
  whole?: string;
  /** The value where it is a number ("11.6", "1,500", "sixty"), else undefined. */
  value?: number;
  /** UTF-16 offsets in the message; `end` is exclusive. */
  start: number;
  end: number;
  clause: number;
  /** How many words that carry meaning stand before it; the measure of distance in patterns. */
  depth: number;
  filler: boolean;
}

/** A stretch between marks or joining words. `from` and `to` are word indexes, `to` exclusive. */
export interface Clause {
  from: number;
  to: number;
  sentence: number;
  /** The sign or the word it ends with: "," "." "?" "but" … */
  endsWith: string;
  question: boolean;
}

export interface Words {
  words: Word[];
  clauses: Clause[];
}

/** A mark that is spoken in one word, or in two where it has a `second`. */
export interface SpokenMark {
  mark: string;
  second: string | undefined;
}

/** What the division into clauses needs to know of the language. */
export interface Joints {
  fillers: ReadonlySet<string>;
  /** Words that begin a new clause: but, however, pero … */
  breaks: ReadonlySet<string>;
  /** Words that join: and, y … They begin a new clause only before a word that begins a statement. */
  joins: ReadonlySet<string>;
  starters: ReadonlySet<string>;
  /** Words whose "'s" is "is" or "has" and written as one with them: it, she, what … */
  contractions: ReadonlySet<string>;
  /** Other spellings of a word: lite is light. */
  spellings: ReadonlyMap<string, string>;
  /** Two words that are one: by the first, the second and what both are ("anti freeze"). */
  compounds: ReadonlyMap<string, ReadonlyMap<string, string>>;
  numbers: ReadonlyMap<string, number>;
  /** Marks in words by their first word: comma, question mark. */
  spokenMarks: ReadonlyMap<string, SpokenMark>;
  /** Words before a name between quotation marks: the "check engine" light. */
  beforeAName: ReadonlySet<string>;
  /** The letters of "65mph" or "12v", where they are a word of their own. */
  units: ReadonlySet<string>;
}

const CLAUSE_MARKS = new Set([',', ';', ':', '(', ')', '[', ']', '|', '…', '•', '*', '"', '“', '”']);
/** Marks that begin and end what somebody else said; a single one only where it cannot be an apostrophe. */
export const QUOTES = new Set(['"', '“', '”', "'"]);
const SENTENCE_MARKS = new Set(['.', '!', '?', '\n', '¿', '¡']);
/** "The light's on", "the turbo's howling": the thing itself is what counts. */
const POSSESSIVE = /['’]s$/i;
const LEADING_NUMBER = /^(\d+)([a-z]+)$/;

/** More words than this between quotation marks are no name. */
const LONGEST_NAME = 4;

/** Where a name between quotation marks ends that begins here ('the "check engine" light'): it is part of its clause. */
function nameEnd(tokens: readonly Token[], index: number, { beforeAName }: Joints): number | undefined {
  const opening = tokens[index] as Token;
  if (!QUOTES.has(opening.text) || !beforeAName.has(tokens[index - 1]?.text ?? '')) return undefined;
  for (let at = index + 1; at <= index + 1 + LONGEST_NAME; at++) {
    const token = tokens[at];
    if (!token || (token.kind === 'mark' && !QUOTES.has(token.text))) return undefined;
    if (token.kind === 'mark') return at > index + 1 ? at : undefined;
  }
  return undefined;
}

/** Cuts the tokens of a message into words and clauses, in one pass. A word that `isKnown` is never cut in two. */
export function divide(message: Message, joints: Joints, isKnown: (text: string) => boolean): Words {
  const { tokens } = message;
  const words: Word[] = [];
  const clauses: Clause[] = [];
  let from = 0;
  let sentence = 0;
  let depth = 0;
  let quoted = false;
  let endOfName = -1;

  const close = (endsWith: string): void => {
    if (words.length > from) {
      clauses.push({ from, to: words.length, sentence, endsWith, question: false });
      from = words.length;
    } else {
      const before = clauses.at(-1);
      if (before && SENTENCE_MARKS.has(endsWith)) before.endsWith = endsWith;
    }
  };
  const add = (text: string, start: number, end: number, value?: number, whole?: string): void => {
    const filler = joints.fillers.has(text);
    const word: Word = { text, start, end, clause: clauses.length, depth, filler };
    if (value !== undefined) word.value = value;
    if (whole !== undefined) word.whole = whole;
    words.push(word);
    if (!filler) depth++;
  };

  const dictated = isDictated(tokens, joints);
  for (let index = 0; index < tokens.length; index++) {
    const token = tokens[index] as Token;
    const spoken = dictated ? spokenMark(tokens, index, joints) : undefined;
    if (spoken) {
      close(spoken.mark);
      if (SENTENCE_MARKS.has(spoken.mark)) sentence++;
      if (spoken.second !== undefined) index++;
      continue;
    }
    if (token.text === "'") {
      const next = tokens[index + 1];
      const opens: boolean = !quoted && token.spaced && next?.kind === 'word' && !next.spaced;
      const ends: boolean = quoted && !token.spaced && (next === undefined || next.spaced || next.kind === 'mark');
      if (opens || ends) {
        close("'");
        quoted = opens;
      }
    } else if (token.kind === 'mark') {
      if (index === endOfName) continue;
      endOfName = nameEnd(tokens, index, joints) ?? endOfName;
      if (endOfName > index) continue;
      if (SENTENCE_MARKS.has(token.text)) {
        const inside = token.text === '.' && isInside(tokens, index);
        if (inside) continue;
        // Three dots trail off; they do not end what is being said.
        const trailing = token.text === '.' && tokens[index + 1]?.text === '.';
        close(trailing ? '…' : token.text);
        if (!trailing && tokens[index - 1]?.text !== '.') sentence++;
      } else if (CLAUSE_MARKS.has(token.text) || (token.text === '-' && isDash(tokens, index))) close(token.text);
    }
    if (token.kind === 'mark') continue;
    if (token.kind === 'number') {
      let text = token.text;
      let end = token.end;
      while (isInside(tokens, index + 1) && tokens[index + 2]?.kind === 'number') {
        const mark = tokens[index + 1] as Token;
        const digits = tokens[index + 2] as Token;
        text += mark.text === ',' && digits.text.length === 3 ? digits.text : `.${digits.text}`;
        end = digits.end;
        index += 2;
        if (text.length > 20) break;
      }
      add(text, token.start, end, Number.parseFloat(text));
      continue;
    }
    const split = token.kind === 'mixed' && !isKnown(token.text) ? LEADING_NUMBER.exec(token.text) : null;
    if (split && joints.units.has(split[2] as string)) {
      const digits = split[1] as string;
      add(digits, token.start, token.start + digits.length, Number.parseFloat(digits));
      add(split[2] as string, token.start + digits.length, token.end);
      continue;
    }
    const compound = compoundAt(tokens, index, joints);
    if (compound) {
      add(compound.text, token.start, compound.end);
      index = compound.last;
      continue;
    }
    const base = token.text.slice(0, -1);
    const owner = token.kind === 'word' && POSSESSIVE.test(token.raw) && !joints.contractions.has(base);
    const typed = owner ? base : token.text;
    const text = joints.spellings.get(typed) ?? typed;
    const next = tokens[index + 1];
    const begins =
      joints.breaks.has(token.text) || (joints.joins.has(token.text) && next && joints.starters.has(next.text));
    if (begins && words.length > from) close(token.text);
    add(text, token.start, token.end, joints.numbers.get(text), owner ? token.text : undefined);
  }
  close('');
  markQuestions(clauses);
  return { words, clauses };
}

/** "Anti freeze", "anti-freeze": two words that are one, with where the second ends and its place among the tokens. */
function compoundAt(
  tokens: readonly Token[],
  index: number,
  { compounds }: Joints,
): { text: string; end: number; last: number } | undefined {
  const seconds = compounds.get(tokens[index]?.text ?? '');
  if (!seconds) return undefined;
  const last = tokens[index + 1]?.text === '-' ? index + 2 : index + 1;
  const text = seconds.get(tokens[last]?.text ?? '');
  return text === undefined ? undefined : { text, end: (tokens[last] as Token).end, last };
}

/** "Gives me a headache period should I worry question mark": marks that a telephone wrote down as it heard them. */
function spokenMark(tokens: readonly Token[], index: number, { spokenMarks }: Joints): SpokenMark | undefined {
  const spoken = spokenMarks.get(tokens[index]?.text ?? '');
  return spoken?.second === undefined || spoken.second === tokens[index + 1]?.text ? spoken : undefined;
}

/** The word for a full stop has other meanings; only another mark in words proves that the text was dictated. */
const isDictated = (tokens: readonly Token[], joints: Joints): boolean =>
  tokens.some((_, index) => (spokenMark(tokens, index, joints)?.mark ?? '.') !== '.');

/** A point or comma with a digit on both sides and no space belongs to the number. */
function isInside(tokens: readonly Token[], index: number): boolean {
  const mark = tokens[index];
  const before = tokens[index - 1];
  const after = tokens[index + 1];
  if (!mark || !before || !after || mark.spaced || after.spaced) return false;
  if (mark.text !== '.' && mark.text !== ',') return false;
  return before.kind === 'number' && (after.kind === 'number' || after.kind === 'mixed');
}

const isDash = (tokens: readonly Token[], index: number): boolean =>
  (tokens[index]?.spaced ?? true) && (tokens[index + 1]?.spaced ?? true);

/** All clauses of a sentence that ends with a question mark are a question. */
function markQuestions(clauses: Clause[]): void {
  let asks = false;
  let sentence = -1;
  for (let index = clauses.length - 1; index >= 0; index--) {
    const clause = clauses[index] as Clause;
    if (clause.sentence !== sentence) {
      sentence = clause.sentence;
      asks = clause.endsWith === '?';
    }
    clause.question = asks;
  }
}
