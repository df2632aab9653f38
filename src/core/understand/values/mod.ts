import type { FactKey } from '../../model/facts.ts';
import { ReadFacts, type ReadKey, type ReadRequest, type ReadResult } from '../../model/reading.ts';
import { guessLanguage } from '../language.ts';
import type { Message, Token } from '../text.ts';
import { answerOf } from './answer.ts';
import { choose, linkBetween, type Candidate, type Choice } from './choose.ts';
import { findCodes, findSpokenCodes, type CodeMention } from './codes.ts';
import { cueAt, cueEnding, cueWithin, scanCues, type Effort, type Scan } from './cues.ts';
import { engineCandidates } from './engine.ts';
import { fieldOf, numbersIn, type NumberField } from './field.ts';
import { fuelCandidates } from './fuel.ts';
import { joinNumbers } from './join.ts';
import type { ValuesLexicon } from './lexicon.ts';
import { MILEAGE_QUESTIONS, mileageCandidates } from './mileage.ts';
import { findNumbers, type NumberMention } from './numbers.ts';
import { countedBack, filterOf, odometerOf, plainestOf, type MileageValue } from './odometer.ts';
import { piecesOf } from './pieces.ts';
import { takenPieces, wordsOf } from './taken.ts';
import { findVins } from './vin.ts';
import { wantedTimeOf } from './wanted-time.ts';
import { yearBounds, yearCandidates } from './years.ts';
import { yearAnswer } from './year-answer.ts';

/** A stretch of the text that does not speak of the owner's truck as it is now; UTF-16 offsets, `end` exclusive. */
export interface OutsideSpan {
  kind: 'past' | 'other-truck' | 'seller' | 'hypothetical' | 'question';
  start: number;
  end: number;
}

/** What the values half of the reader found; the keys and rules are those of a whole reading. */
export type ValuesReading = Pick<ReadResult, 'facts' | 'words' | 'doubts' | 'doesNotKnow' | 'language'>;

/**
 * Reads everything in a message that is a number, a code, a day or a yes or no. `effort` counts the places looked at,
 * for the tests that hold the work to the length of the text.
 */
export function readValues(
  message: Message,
  request: ReadRequest,
  lexicon: ValuesLexicon,
  outside: readonly OutsideSpan[],
  effort?: Effort,
): ValuesReading {
  const language = guessLanguage(message.tokens, lexicon.little.telling);
  const scan = scanCues(piecesOf(withoutEndMarks(message.tokens)), language, lexicon, effort);
  return new ValuesReader(message, request, lexicon, scan, outside).read();
}

/** How far from a code, in pieces, a word for codes may stand. */
const CODE_WORD_REACH = 12;

const END_MARKS = new Set(['.', '!', '…']);

/** A full stop at the very end says nothing, so that a text means the same with and without it. */
function withoutEndMarks(tokens: readonly Token[]): readonly Token[] {
  let end = tokens.length;
  while (end > 0 && END_MARKS.has((tokens[end - 1] as Token).text)) end--;
  return end === tokens.length ? tokens : tokens.slice(0, end);
}

class ValuesReader {
  readonly #message: Message;
  readonly #request: ReadRequest;
  readonly #lexicon: ValuesLexicon;
  readonly #scan: Scan;
  /** 1 for each piece that speaks of something other than this truck now. */
  readonly #outsideAt: Uint8Array;
  /** 1 for each piece that repeats what a seller claims. */
  readonly #claimedAt: Uint8Array;
  readonly #reading: Required<Pick<ReadResult, 'facts' | 'words' | 'doubts'>> & Pick<ReadResult, 'doesNotKnow'>;
  readonly #unsure = new Set<string>();

  constructor(
    message: Message,
    request: ReadRequest,
    lexicon: ValuesLexicon,
    scan: Scan,
    outside: readonly OutsideSpan[],
  ) {
    this.#message = message;
    this.#request = request;
    this.#lexicon = lexicon;
    this.#scan = scan;
    this.#outsideAt = outsidePieces(scan, outside, ['other-truck', 'hypothetical']);
    this.#claimedAt = outsidePieces(scan, outside, ['seller']);
    this.#reading = { facts: {}, words: {}, doubts: [] };
  }

  read(): ValuesReading {
    const { asked, today } = this.#request;
    const vins = findVins(this.#message.text);
    const codes = this.#codes(vins);
    const taken = takenPieces(this.#scan, [...vins, ...codes]);
    this.#putVin(vins);
    this.#putCodes(codes);
    const mileageAsked = asked !== undefined && MILEAGE_QUESTIONS.has(asked);
    const numbers = joinNumbers(this.#scan, findNumbers(this.#scan, this.#lexicon, taken), mileageAsked);
    const field = fieldOf(this.#scan, numbers);
    const used = this.#engine(field);
    this.#year(field, used);
    this.#mileages(field, used);
    this.#fuel();
    if (asked === 'wantedTime' && today) this.#wantedTime(today);
    if (asked === 'confirm') this.#answer();
    this.#doesNotKnow();
    return this.#finished();
  }

  #finished(): ValuesReading {
    const { facts, words, doubts, doesNotKnow } = this.#reading;
    if (this.#unsure.size > 0) facts.unsure = [...this.#unsure].sort();
    return {
      facts,
      words,
      ...(doubts.length > 0 ? { doubts } : {}),
      ...(doesNotKnow ? { doesNotKnow } : {}),
      language: this.#scan.language,
    };
  }

  /** False where no truck can have such a value ("118,400 a month"): then it is left out. */
  #put<K extends ReadKey>(key: K, value: ReadResult['facts'][K], first: number, last: number): boolean {
    if (!ReadFacts.shape[key].safeParse(value).success) return false;
    this.#reading.facts[key] = value;
    this.#reading.words[key] = wordsOf(this.#message, this.#scan, first, last);
    return true;
  }

  #doubt(
    key: ReadKey,
    because: 'lower-than-last' | 'too-fast' | 'digits' | 'round' | 'hedged',
    perhaps?: number,
  ): void {
    this.#unsure.add(key);
    this.#reading.doubts.push({ key, because, ...(perhaps === undefined ? {} : { perhaps }) });
  }

  /** Whether a span of pieces speaks of something other than this truck now. */
  #isOutside = (first: number, last: number): boolean => this.#outsideAt[first] === 1 && this.#outsideAt[last] === 1;

  #codes(vins: readonly { start: number; end: number }[]): CodeMention[] {
    const scan = this.#scan;
    const asked = this.#request.asked === 'troubleCodes';
    const afterCodeWord = (offset: number): boolean => {
      if (asked) return true;
      const index = pieceAt(scan, offset);
      for (let at = index - 1; at >= Math.max(0, index - 3); at--) if (cueEnding(scan, at, 'codeNoun')) return true;
      return false;
    };
    const besideCodeWord = (offset: number): boolean => {
      const here = pieceAt(scan, offset);
      const isNear = (at: number): boolean =>
        scan.sentence[at] === scan.sentence[here] && cueAt(scan, at, 'codeNoun', 'codeReader') !== undefined;
      return asked || Array.from({ length: 2 * CODE_WORD_REACH }, (_, i) => here - CODE_WORD_REACH + i).some(isNear);
    };
    const codes = [
      ...findCodes(this.#message.text, afterCodeWord, besideCodeWord, this.#lexicon.little.lists.joinsCodes),
      ...findSpokenCodes(scan, this.#lexicon, (first) => afterCodeWord(scan.pieces[first]?.start ?? 0)),
    ];
    const inVin = new Set(vins.flatMap(({ start, end }) => Array.from({ length: end - start }, (_, i) => start + i)));
    return this.#meant(codes.filter((code) => !inVin.has(code.start) && !inVin.has(code.end - 1)));
  }

  /** "I sent P0401 but it is P0404", "not P0401, it's P0404": of two codes the one that is taken back is left out. */
  #meant(codes: readonly CodeMention[]): CodeMention[] {
    const scan = this.#scan;
    const sorted = [...codes].sort((a, b) => a.start - b.start);
    const spans = sorted.map(({ start, end }) => ({ first: pieceAt(scan, start), last: pieceAt(scan, end) - 1 }));
    const none = { first: -1, last: -1 };
    return sorted.filter((_, index) => {
      const here = spans[index] ?? none;
      const next = spans[index + 1];
      const before = spans[index - 1];
      if (next && linkBetween(scan, here, next) === 'corrected') return false;
      if (next && !before && cueEnding(scan, here.first - 1, 'instead')) return false;
      return !(before && linkBetween(scan, before, here) === 'denied');
    });
  }

  #putVin(vins: readonly { start: number; end: number; vin?: string; mended: boolean }[]): void {
    const good = vins.filter((vin) => vin.vin !== undefined);
    const [first] = good;
    if (!first || good.some((vin) => vin.vin !== first.vin)) return;
    this.#reading.facts.vin = first.vin;
    this.#reading.words.vin = this.#message.text.slice(first.start, first.end);
    if (first.mended) this.#doubt('vin', 'digits');
  }

  #putCodes(codes: readonly CodeMention[]): void {
    const [first] = codes;
    const last = codes[codes.length - 1];
    if (!first || !last) return;
    this.#reading.facts.troubleCodes = [...new Set(codes.map((code) => code.code))].sort();
    this.#reading.words.troubleCodes = codes.map((code) => this.#message.text.slice(code.start, code.end)).join(', ');
    if (codes.some((code) => code.unsure)) this.#doubt('troubleCodes', 'digits');
  }

  /** Puts displacement, cylinders and layout; gives back the numbers that they used. */
  #engine(field: NumberField): Set<NumberMention> {
    const asked = this.#request.asked === 'engine';
    const found = engineCandidates(this.#scan, field, this.#lexicon, asked);
    const inside = <T>(list: Candidate<T>[]): Candidate<T>[] => {
      const own = list.filter((c) => !this.#isOutside(c.first, c.last));
      // "Ad said 6.4, mechanic says 6.7": what a seller claims yields to anything else.
      const told = own.filter((c) => this.#claimedAt[c.first] !== 1);
      return told.length > 0 ? told : own;
    };
    this.#putChoice('engineLitres', choose(this.#scan, inside(found.litres)));
    this.#putChoice('cylinders', choose(this.#scan, inside(found.cylinders)));
    this.#putChoice('layout', choose(this.#scan, inside(found.layout)));
    return new Set([...found.litres, ...found.cylinders].flatMap((c) => numbersIn(field, c.first, c.last)));
  }

  #putChoice<K extends 'engineLitres' | 'cylinders' | 'layout' | 'modelYear' | 'fuel'>(
    key: K,
    choice: Choice<NonNullable<ReadResult['facts'][K]>>,
  ): void {
    if (choice.none) return;
    const { value, first, last, unsure } = choice.chosen;
    if (!this.#put(key, value, first, last)) return;
    const [other] = choice.alternatives;
    if (unsure) this.#doubt(key, unsure, typeof other === 'number' ? other : undefined);
  }

  #year(field: NumberField, used: Set<NumberMention>): void {
    const bounds = yearBounds(this.#lexicon, this.#request.today);
    const { asked } = this.#request;
    let candidates = yearCandidates(this.#scan, field, used, bounds, this.#lexicon);
    if (asked === 'modelYear') {
      const answered = yearAnswer(this.#scan, field, used, bounds, candidates);
      if (answered) candidates = answered;
    }
    // "The one from 2014", where work was asked for.
    if (asked === 'breatherOriginal' || asked === 'pumpProtected' || asked === 'pumpReplaced')
      candidates = candidates.filter((c) => cueEnding(this.#scan, c.first - 1, 'from') === undefined);
    if (asked === 'wantedTime') candidates = candidates.filter((c) => c.strength > 2 && c.value !== 0);
    // After the question for a mileage a lone four-digit number is that mileage, unless it is told as a year.
    if (asked !== undefined && MILEAGE_QUESTIONS.has(asked)) {
      const years = new Set(candidates.flatMap((c) => numbersIn(field, c.first, c.last)));
      const others = field.all.some((m) => !used.has(m.mention) && !years.has(m.mention));
      const told = (c: Candidate<number>): boolean =>
        c.strength > 2 || cueEnding(this.#scan, c.first - 1, 'yearArticle') !== undefined || others;
      candidates = candidates.filter(told);
    }
    const inside = candidates.filter((c) => !this.#isOutside(c.first, c.last));
    this.#putChoice('modelYear', choose(this.#scan, inside));
    for (const c of candidates) for (const mention of numbersIn(field, c.first, c.last)) used.add(mention);
  }

  #mileages(field: NumberField, used: ReadonlySet<NumberMention>): void {
    const { asked, lastOdometerMiles, lastReadingDate, today } = this.#request;
    const context = { used, outside: this.#isOutside, ...(asked ? { asked } : {}) };
    const candidates = mileageCandidates(this.#scan, field, context);
    const last = {
      ...(lastOdometerMiles === undefined ? {} : { miles: lastOdometerMiles }),
      ...(lastReadingDate === undefined ? {} : { date: lastReadingDate }),
      ...(today === undefined ? {} : { today }),
    };
    const odometer = odometerOf(this.#scan, candidates, last, asked === 'odometerMiles');
    this.#putMileage('odometerMiles', odometer);
    // "nope 98412" may correct anything; "no, it's 98,412 miles" says what it is.
    const bare = odometer && !cueWithin(this.#scan, odometer.first, odometer.last, 'miles', 'kilometres');
    const plain = this.#reading.facts.odometerMiles !== undefined && !this.#unsure.has('odometerMiles');
    if (bare && plain && asked === 'confirm') this.#doubt('odometerMiles', 'hedged');
    this.#putMileage('milesPerYear', plainestOf(this.#scan, candidates, 'pace'));
    const counted = (work: 'filter' | 'oil'): MileageValue | undefined =>
      countedBack(this.#scan, candidates, work, odometer);
    const filterAsked = asked === 'lastFuelFilterMiles';
    const filter = counted('filter') ?? filterOf(this.#scan, candidates, last, filterAsked);
    this.#putMileage('lastFuelFilterMiles', filter);
    const oil = filterAsked ? undefined : (plainestOf(this.#scan, candidates, 'oil') ?? counted('oil'));
    this.#putMileage('lastOilChangeMiles', oil);
  }

  #putMileage(
    key: 'odometerMiles' | 'milesPerYear' | 'lastFuelFilterMiles' | 'lastOilChangeMiles',
    found: MileageValue | undefined,
  ): void {
    if (!found) return;
    if (!this.#put(key, found.value, found.first, found.last)) return;
    if (found.doubt) this.#doubt(key, found.doubt.because, found.doubt.perhaps);
  }

  #fuel(): void {
    const candidates = fuelCandidates(this.#scan, this.#request.asked === 'engine');
    const inside = candidates.filter((c) => !this.#isOutside(c.first, c.last));
    this.#putChoice('fuel', choose(this.#scan, inside));
  }

  #wantedTime(today: string): void {
    const wanted = wantedTimeOf(this.#scan, this.#lexicon, today);
    if (!wanted) return;
    if (!this.#put('wantedTime', wanted.time, wanted.first, wanted.last)) return;
    if (wanted.unsure) this.#doubt('wantedTime', 'hedged');
  }

  #answer(): void {
    const corrected = ['odometerMiles', 'modelYear', 'engineLitres'].some((key) => key in this.#reading.facts);
    const { answer, first, last } = answerOf(this.#scan, corrected);
    this.#reading.facts.answer = answer;
    if (first !== undefined && last !== undefined) {
      this.#reading.words.answer = wordsOf(this.#message, this.#scan, first, last);
    }
  }

  /** "no idea" after a question: that key is not asked again. */
  #doesNotKnow(): void {
    const { asked } = this.#request;
    if (!asked || asked === 'wantedTime' || asked === 'confirm' || asked === 'symptoms') return;
    const key: FactKey | 'engine' = asked;
    const given = key === 'engine' ? ['engineLitres', 'cylinders', 'layout', 'fuel'] : [key];
    if (given.some((fact) => fact in this.#reading.facts)) return;
    if (cueWithin(this.#scan, 0, this.#scan.pieces.length - 1, 'doesNotKnow')) this.#reading.doesNotKnow = [key];
  }
}

/** The piece that starts at or after an offset. */
function pieceAt(scan: Scan, offset: number): number {
  let low = 0;
  let high = scan.pieces.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((scan.pieces[middle]?.start ?? 0) < offset) low = middle + 1;
    else high = middle;
  }
  return low;
}

function outsidePieces(scan: Scan, outside: readonly OutsideSpan[], kinds: readonly OutsideSpan['kind'][]): Uint8Array {
  const marked = new Uint8Array(scan.pieces.length);
  const spans = outside.filter(({ kind }) => kinds.includes(kind)).sort((a, b) => a.start - b.start);
  let at = 0;
  for (const { start, end } of spans) {
    // Spans may overlap; what was marked before need not be marked again.
    while (at < marked.length && (scan.pieces[at]?.start ?? 0) < start) at++;
    while (at < marked.length && (scan.pieces[at]?.end ?? 0) <= end) marked[at++] = 1;
  }
  return marked;
}
