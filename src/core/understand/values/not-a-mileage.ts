import {
  cueAfter,
  cueAt,
  cueBefore,
  cueEnding,
  cueWithin,
  isOneOf,
  isPairOf,
  isWithinAHedge,
  lastCueWithin,
  type Found,
  type Scan,
} from './cues.ts';
import type { NumberMention } from './numbers.ts';
import type { Surroundings } from './surroundings.ts';
import type { Measured } from './units.ts';

/** Marks that may stand between "zip", "order", "invoice" and their number. */
const BEFORE_AN_IDENTIFIER = new Set(['#', ':', '.']);

/** No light or medium truck pulls more pounds. */
const HEAVIEST_LOAD = 40_000;

/** Pounds per square inch; no mileage that is told without its thousands stands beside a pressure. */
const MOST_PRESSURE = 500;

/** Prices, weights, pressures, trip meters, numbers of papers, addresses, dates, model designations. */
export function isNoMileage(around: Surroundings, m: Measured, mileageAsked: boolean): boolean {
  const { mention } = m;
  const { scan } = around;
  if (mention.digits && !mention.scaled && (mention.leadingZero || mention.value === 0)) return true;
  if (isTripMeter(around, m)) return true;
  if (isOneOf(scan, mention.last, 'moneyThousand') && !mileageAsked && !around.odometerAfter(m)) return true;
  // "12k of hay": a load, whatever is loaded.
  const isOf = isOneOf(scan, m.end + 1, 'loadOf') && !isOneOf(scan, m.end + 2, 'ownThings');
  if (isOf && m.unit === undefined && !around.odometerAfter(m)) return true;
  if (cueAfter(scan, m.end, 'tenths') && mention.value < 1000) return true;
  // "9,800 miles on the rebuilt engine"
  if (cueAt(scan, m.end + 1, 'onAPart')) return true;
  // "Rotors have 8k on them": not the truck.
  if (isPairOf(scan, m.end + 1, 'onOtherThings')) return true;
  if (isOfACountdown(around, m)) return true;
  if (m.unit !== undefined) return false;
  // "Engine hours 2,914"
  if (cueBefore(scan, mention.first, 'hourMeter')) return true;
  // "The oil pressure gauge reading 10 at idle"
  if (mention.value < MOST_PRESSURE && !mention.scaled && around.leftHas(m, 'pressure')) return true;
  if (isReadOffAnother(around, m)) return true;
  const cued = (): boolean => cueBefore(scan, mention.first, 'odometer') !== undefined || around.odometerAfter(m);
  if (isPriced(around, m, mileageAsked, cued)) return true;
  if (cueBefore(scan, mention.first, 'load') && !around.odometerAfter(m)) return true;
  if (isLoad(scan, m)) return true;
  // "I tow heavy, 14k most days"
  const often = cueAt(scan, m.end + 1, 'often') !== undefined && mention.value <= HEAVIEST_LOAD;
  if (often && cueWithin(scan, around.sentenceStart(mention.first, 0), mention.first - 1, 'load') && !cued())
    return true;
  if (cueBefore(scan, mention.first, 'pressure') ?? cueAfter(scan, m.end, 'pressure')) return true;
  return !mention.scaled && isBareNumberOfSomething(around, m, mileageAsked);
}

/**
 * "The exhaust fluid light came on with a countdown, 180 miles it says", "no start in 50 miles": few miles beside a
 * warning that counts down are what is left.
 */
function isOfACountdown(around: Surroundings, m: Measured): boolean {
  const { scan } = around;
  const { mention } = m;
  const few = mention.value < MOST_COUNTED_DOWN && !mention.scaled && !mention.change && mention.pair === undefined;
  if (!few || m.unit === undefined) return false;
  const said = cueAt(scan, m.end + 1, 'odometer');
  if (around.odometerAfter(m) && !(said && isOneOf(scan, said.last, 'readsOut'))) return false;
  if (isOneOf(scan, mention.first - 1, 'inSoMany')) return true;
  let to = m.end;
  while (to < m.end + FARTHEST_MEASURE && scan.sentence[to + 1] === scan.sentence[m.end]) to++;
  return cueWithin(scan, around.sentenceStart(mention.first, 1), to, 'countdown') !== undefined;
}
/** Warnings begin to count down from a thousand miles at most. */
const MOST_COUNTED_DOWN = 1000;

/**
 * "The oil pressure gauge, which has read 45 psi, now reads 12": a small number that is read off in a sentence about a
 * pressure, a voltage or a temperature is one of those, unless the odometer is named beside it.
 */
function isReadOffAnother(around: Surroundings, m: Measured): boolean {
  const { scan } = around;
  const { mention } = m;
  // "EGT shows 1300"
  const short = mention.digits && mention.length <= 4 && mention.grouped === 'no';
  if ((mention.value >= MOST_PRESSURE && !short) || mention.scaled || around.odometerAfter(m)) return false;
  const direct = cueBefore(scan, mention.first, 'odometer', 'present');
  if (!direct || !isOneOf(scan, direct.last, 'readsOut') || around.leftHas(m, 'odometerNoun')) return false;
  let to = m.end;
  while (to < m.end + FARTHEST_MEASURE && scan.sentence[to + 1] === scan.sentence[m.end]) to++;
  return cueWithin(scan, around.sentenceStart(mention.first, 0), to, 'pressure') !== undefined;
}
const FARTHEST_MEASURE = 16;

function isPriced(around: Surroundings, m: Measured, mileageAsked: boolean, cued: () => boolean): boolean {
  const { scan } = around;
  const { first, value } = m.mention;
  // "As you wanted: 181,250": what the shop asked for, not what somebody asks for a truck.
  const direct = notHedged(scan, cueBefore(scan, first, 'price'));
  const reading = direct && cueEnding(scan, direct.last, 'odometer');
  if (reading && reading.first < direct.first) return false;
  const priced = notHedged(scan, lastCueWithin(scan, ...around.left(m), 'price'));
  // "What would you charge for filters I did the last ones at 128,000": told of work that was done since.
  const worked = priced && lastCueWithin(scan, priced.last + 1, first - 1, 'done', 'lastOne');
  const at = isOneOf(scan, first - 1, 'workAt') && (m.mention.scaled || value >= LEAST_ON_PAPER);
  if (worked && at && !direct) return false;
  // "The invoice has 85,000 on it", where a mileage was asked for.
  const onPaper = priced !== undefined && cueEnding(scan, priced.last, 'paper') !== undefined;
  // "I estimate 7,200 per annum"
  const guess = priced !== undefined && cueEnding(scan, priced.last, 'maybe', 'hedge') !== undefined;
  if (mileageAsked && (guess || (onPaper && value >= LEAST_ON_PAPER))) return false;
  // "It is the pickup I am asking about, and that has 88,400": no price is asked.
  const asksAbout = priced !== undefined && isOneOf(scan, priced.last + 1, 'aboutWhat');
  return direct !== undefined || (priced !== undefined && !asksAbout && !cued());
}
const notHedged = (scan: Scan, price: Found | undefined): Found | undefined =>
  price && isWithinAHedge(scan, price) ? undefined : price;

/** Dearer work than this is hardly told in an answer about miles. */
const LEAST_ON_PAPER = 10_000;

function isTripMeter(around: Surroundings, m: Measured): boolean {
  // "301 on the trip and 187,412 on the other"
  for (let at = m.end + 1; at <= m.end + 3 && around.scan.clause[at] === around.scan.clause[m.end]; at++) {
    const after = cueAt(around.scan, at, 'tripMeter');
    // "52 miles round trip"
    if (cueAt(around.scan, at, 'roundTrip')) break;
    if (after) return !around.odometerBefore(m);
    if (!cueAt(around.scan, at, 'filler')) break;
  }
  const found = lastCueWithin(around.scan, ...around.left(m), 'tripMeter');
  const trip = found && !cueEnding(around.scan, found.last, 'roundTrip') ? found : undefined;
  // "301 on the trip and 187,412 on the other"
  if (
    trip &&
    around.field.all.some(({ end }) => end < trip.first && trip.first - end <= 4) &&
    joins(around.scan, trip.last + 1, m)
  )
    return false;
  return trip !== undefined && !cueWithin(around.scan, trip.last + 1, m.mention.first - 1, 'odometerNoun');
}

const joins = (scan: Scan, from: number, m: Measured): boolean =>
  scan.words.slice(from, m.mention.first).some((word) => word === '&' || scan.little.lists.joinsClauses.has(word));

/** "16k on the gooseneck", "14k gooseneck", "12,000 behind it". */
function isLoad(scan: Scan, m: Measured): boolean {
  const clause = scan.clause[m.end];
  for (let at = m.end + 1; at <= m.end + 3 && scan.clause[at] === clause; at++) {
    if (cueAt(scan, at, 'load')) return true;
    if (!cueAt(scan, at, 'filler')) return false;
  }
  return false;
}

function isBareNumberOfSomething(around: Surroundings, m: Measured, mileageAsked: boolean): boolean {
  const { scan } = around;
  const { mention } = m;
  const before = mention.first - 1;
  // No paper bears a number with a mark between its thousands: "the number you wanted: 61,915".
  if (mention.grouped === 'mark' && mention.length >= 5) return false;
  let named = before;
  const mayPass = (at: number): boolean =>
    BEFORE_AN_IDENTIFIER.has(scan.words[at] ?? '') || isOneOf(scan, at, 'beforeAnIdentifier');
  while (named >= 0 && named > before - 4 && mayPass(named)) named--;
  const paper = cueEnding(scan, before, 'identifier') ?? cueEnding(scan, named, 'identifier');
  // "The number is 187412": the one that was asked for.
  const asked =
    mileageAsked &&
    paper !== undefined &&
    cueEnding(scan, paper.last, 'theNumber') !== undefined &&
    mention.length >= 5;
  if (paper && !asked) return true;
  if (isAddress(scan, mention)) return true;
  const fourDigits = mention.digits && mention.length === 4 && mention.grouped === 'no' && mention.decimals === 0;
  const yearLike = fourDigits && mention.value > 1950 && mention.value < 2100;
  if (cueEnding(scan, before, 'dateWord') && (yearLike || (mention.value < 100 && !mileageAsked))) return true;
  if (scan.words[before] === "'" && mention.length === 2) return true;
  // Model designations: "a 3500", "the 2500".
  if (fourDigits && !mileageAsked && !around.odometerAfter(m) && !around.odometerBefore(m)) return true;
  return ['%', '°'].includes(scan.words[mention.last + 1] ?? '');
}

function isAddress(scan: Scan, mention: NumberMention): boolean {
  for (let at = mention.last + 1; at <= mention.last + 2; at++) {
    if (scan.clause[at] !== scan.clause[mention.last]) return false;
    if (cueAt(scan, at, 'street')) return true;
  }
  return false;
}
