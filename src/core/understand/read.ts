import type { ReadRequest, ReadResult } from '../model/reading.ts';
import type { ComplaintLexicon } from './complaints/lexicon.ts';
import { readScene } from './complaints/reader.ts';
import type { ComplaintReading } from './complaints/types.ts';
import { readMessage, type Message, type Token } from './text.ts';
import { weighIntent, type WishEvidence } from './opinion/wish.ts';
import type { ValuesLexicon } from './values/lexicon.ts';
import { readValues } from './values/mod.ts';

/** Everything that the reader knows of the language of owners, compiled from flows/language. */
export interface Lexicon {
  complaints: ComplaintLexicon;
  values: ValuesLexicon;
}

/**
 * Reads what an owner's message says as facts. It never throws and never guesses: what could mean two things is named
 * in `facts.unsure` or left out. Distances come out in miles, dates as calendar days in the zone of `today`.
 */
export function read(request: ReadRequest, lexicon: Lexicon): ReadResult {
  const { message, leftOut } = endsOf(readMessage(request.text));
  const complaints = readScene(message, { asked: request.asked, today: request.today }, lexicon.complaints);
  const values = readValues(message, request, lexicon.values, complaints.scopes);
  const result: ReadResult = {
    ...values,
    facts: { ...values.facts, ...complaintFacts(complaints) },
    words: { ...values.words, ...complaints.words },
  };
  // "97,614 as of this morning": a message that only gives a reading.
  if (!request.asked && !complaints.intent && values.facts.troubleCodes) result.facts.intent = 'service';
  if (!request.asked && !result.facts.intent && result.facts.odometerMiles !== undefined) {
    result.facts.intent = isOnlyReading(result.facts, message) ? 'odometer' : 'service';
  }
  // A whole message or phrase that is known, as the shop may have taught it, is what it is.
  if (!request.asked && !complaints.intentIsPlain) withWeighedIntent(result, complaints, message, lexicon);
  // Whoever tells of the truck or of its trouble beside the reading wants more than to hand in a number.
  if (!request.asked && result.facts.intent === 'odometer' && tellsOfTheTruck(result.facts)) {
    result.facts.intent = 'service';
    delete result.words.intent;
  }
  if (request.asked === 'wantedTime' && isAnsweredByTheDay(result, lexicon)) {
    delete result.facts.intent;
    delete result.words.intent;
  }
  const unsure = new Set([...(values.facts.unsure ?? []), ...complaints.booleansUnsure]);
  if (complaints.symptomsUnsure || (leftOut !== undefined && complaints.symptoms.length > 0)) unsure.add('symptoms');
  if (unsure.size > 0) result.facts.unsure = [...unsure].sort();
  if (complaints.ask.length > 0) result.ask = complaints.ask;
  if (complaints.offers.length > 0) result.offers = complaints.offers;
  const unread = complaints.unread.filter((clause) => tellsMore(clause, Object.values(values.words)));
  if (leftOut !== undefined) unread.push(leftOut);
  if (unread.length > 0) result.unread = unread;
  return result;
}

/**
 * "Could we do tuesday?", "any chance of friday": the day that was asked for, and no wish of its own, unless a word says
 * that an appointment is to be moved.
 */
function isAnsweredByTheDay({ facts, words }: ReadResult, { values }: Lexicon): boolean {
  if (facts.wantedTime === undefined) return false;
  if (facts.intent === 'book') return true;
  const said = (words.intent ?? '').toLowerCase().split(/[^\p{L}]+/u);
  return facts.intent === 'reschedule' && !said.some((word) => values.little.lists.movesAVisit.has(word));
}

/** Puts the likeliest intent in the place of what the patterns read, or leaves it out where nobody can tell. */
function withWeighedIntent(
  result: ReadResult,
  { wishes, symptoms, ask }: ComplaintReading,
  message: Message,
  { complaints: { weighing } }: Lexicon,
): void {
  const evidence = wishes && evidenceOfWish(result, wishes, symptoms.length + ask.length > 0, message);
  if (!evidence || !weighing) return;
  const weighed = weighIntent(evidence, weighing.intents);
  if (weighed === result.facts.intent) return;
  delete result.words.intent;
  if (weighed) result.facts.intent = weighed;
  else delete result.facts.intent;
}

/** What speaks for each intent of a message that was read. */
export function evidenceOfWish(
  { facts }: ReadResult,
  { found, leanings, asksMore }: NonNullable<ComplaintReading['wishes']>,
  complains: boolean,
  message: Message,
): WishEvidence {
  const { intent: read, ...told } = facts;
  const givesReading = facts.odometerMiles !== undefined;
  return {
    read,
    found,
    leanings,
    complains,
    givesReading,
    isOnlyReading: givesReading && !complains && !asksMore && isOnlyReading(told, message),
    length: message.tokens.filter(({ kind }) => kind !== 'mark').length,
  };
}

/** Nobody writes more tokens than this to a shop; of a longer text the begin and the end are read. */
const MOST_AT_BEGIN = 1000;
const MOST_AT_END = 249;

/** A message with the middle of an endless text left out, so that the time for reading is bounded. */
function endsOf(message: Message): { message: Message; leftOut?: string } {
  const { tokens, text } = message;
  const left = tokens[MOST_AT_BEGIN];
  const last = tokens[tokens.length - MOST_AT_END - 1];
  if (!left || !last || tokens.length <= MOST_AT_BEGIN + MOST_AT_END + 1) return { message };
  const gap: Token = { kind: 'mark', raw: '', text: '\n', start: left.start, end: left.start, spaced: true };
  const kept = [...tokens.slice(0, MOST_AT_BEGIN), gap, ...tokens.slice(-MOST_AT_END)];
  // Blanks keep the offsets of what comes after.
  const read = text.slice(0, left.start) + ' '.repeat(last.end - left.start) + text.slice(last.end);
  return { message: { ...message, text: read, tokens: kept }, leftOut: text.slice(left.start, last.end) };
}

/** A word of more letters than this says something of its own ("on", "w", "it" do not). */
const MOST_LETTERS_OF_A_LITTLE_WORD = 3;

/** Whether a clause says more than the values that were read from it ("2019 6.7 V8 diesel, 84k" does not). */
function tellsMore(clause: string, valueWords: readonly string[]): boolean {
  let rest = clause;
  for (const words of valueWords.flatMap((said) => said.split(' … '))) rest = rest.replace(words, ' ');
  return (rest.match(/\p{L}+/gu) ?? []).some((word) => word.length > MOST_LETTERS_OF_A_LITTLE_WORD);
}

/** More words than this tell more than a reading. */
const MOST_WITH_A_READING = 16;
const OF_A_READING: ReadonlySet<string> = new Set(['odometerMiles', 'milesPerYear', 'unsure', 'vin']);

/** What may stand beside a reading that is handed in: whose truck, its pace, and what was done to it last. */
const BESIDE_A_READING: ReadonlySet<string> = new Set([
  ...OF_A_READING,
  'modelYear',
  'lastFuelFilterMiles',
  'pumpProtected',
  'intent',
]);

const tellsOfTheTruck = (facts: ReadResult['facts']): boolean =>
  Object.keys(facts).some((key) => !BESIDE_A_READING.has(key));

function isOnlyReading(facts: ReadResult['facts'], { tokens }: Message): boolean {
  const words = tokens.filter(({ kind }) => kind !== 'mark').length;
  const asks = tokens.some(({ text }) => text === '?');
  return words <= MOST_WITH_A_READING && !asks && Object.keys(facts).every((key) => OF_A_READING.has(key));
}

function complaintFacts(complaints: ComplaintReading): ReadResult['facts'] {
  return {
    ...complaints.booleans,
    ...(complaints.symptoms.length > 0 ? { symptoms: complaints.symptoms } : {}),
    ...(complaints.deniedSymptoms.length > 0 ? { deniedSymptoms: complaints.deniedSymptoms } : {}),
    ...(complaints.intent ? { intent: complaints.intent } : {}),
  };
}
