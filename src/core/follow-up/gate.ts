import type { IsoDate } from '../model/time.ts';
import { dayNumber } from './days.ts';
import { acceptReadings, type HistoryReading } from './history.ts';
import type { Intake, Pace } from './pace.ts';
import { seasonDaysTo } from './pace.ts';
import { PARAMETERS, type Parameters } from './parameters.ts';
import { milesQuantile } from './predict.ts';
import { objectionTo, type Objection } from './plausible.ts';

const MILES_PER_KILOMETRE = 1 / 1.609344;

/** How a wrong number may have come about. */
export type Slip =
  | 'lost-digit'
  | 'extra-digit'
  | 'changed-digit'
  | 'thousands'
  | 'unspoken-hundred-thousand'
  | 'kilometres'
  | 'trip-meter';

export type GateAnswer =
  | { verdict: 'plausible' }
  | {
      verdict: 'suspicious';
      because: Objection;
      /** What the odometer was expected to show, in miles. */
      expected: number;
      /** Values that the owner may have meant, the likeliest first, at most three. */
      alternatives: { miles: number; slip: Slip }[];
    };

/**
 * Judges a new reading before it is kept: lower than the last one, or faster or slower than this truck can be believed
 * to have been driven. Miles; dates in the owner's zone. A suspicious reading is asked about once, see
 * {@link confirmReading} for what follows a "yes".
 */
export function gate(
  readings: readonly HistoryReading[],
  candidate: { date: IsoDate; miles: number },
  intake: Intake = {},
  parameters: Parameters = PARAMETERS,
): GateAnswer {
  const { pace } = acceptReadings(readings, candidate.date, intake, parameters);
  if (!pace) return { verdict: 'plausible' };
  const day = dayNumber(candidate.date);
  const because = objectionTo(pace, day, candidate.miles);
  if (because === undefined) return { verdict: 'plausible' };
  const expected = Math.round(pace.odometer + milesQuantile(pace, seasonDaysTo(pace, day), 0.5));
  return {
    verdict: 'suspicious',
    because,
    expected,
    alternatives: alternativesTo(candidate.miles, pace, day, expected),
  };
}

function alternativesTo(miles: number, pace: Pace, day: number, expected: number) {
  const plausible = slipsOf(miles, pace.odometer).filter(
    (slip) => slip.miles !== miles && objectionTo(pace, day, slip.miles) === undefined,
  );
  const nearest = plausible.sort((one, other) => Math.abs(one.miles - expected) - Math.abs(other.miles - expected));
  const seen = new Set<number>();
  const kinds = new Set<Slip>();
  return nearest
    .filter((slip) => {
      if (seen.has(slip.miles) || kinds.has(slip.slip)) return false;
      seen.add(slip.miles);
      kinds.add(slip.slip);
      return true;
    })
    .slice(0, 3);
}

function slipsOf(miles: number, last: number): { miles: number; slip: Slip }[] {
  const digits = String(Math.round(miles));
  const slips: { miles: number; slip: Slip }[] = [
    { miles: Math.round(miles * MILES_PER_KILOMETRE), slip: 'kilometres' },
    { miles: Math.round(miles) * 1000, slip: 'thousands' },
    { miles: last + Math.round(miles), slip: 'trip-meter' },
  ];
  for (let hundreds = 100_000; hundreds <= last + 100_000; hundreds += 100_000) {
    slips.push({ miles: miles + hundreds, slip: 'unspoken-hundred-thousand' });
  }
  for (let place = 0; place <= digits.length; place++) {
    const before = digits.slice(0, place);
    const after = digits.slice(place + 1);
    if (place < digits.length) slips.push({ miles: Number(before + after), slip: 'extra-digit' });
    for (let digit = 0; digit <= 9; digit++) {
      slips.push({ miles: Number(before + digit + digits.slice(place)), slip: 'lost-digit' });
      if (place < digits.length) slips.push({ miles: Number(before + digit + after), slip: 'changed-digit' });
    }
  }
  return slips;
}

/**
 * What becomes of the history when the owner stands by a suspicious reading: the previous reading is dropped where the
 * new one then fits, as it does where that was the only one; else the truck has a new instrument cluster, and the pace is kept while the odometer begins anew.
 */
export function confirmReading(
  readings: readonly HistoryReading[],
  candidate: { date: IsoDate; miles: number },
  intake: Intake = {},
  parameters: Parameters = PARAMETERS,
): { outcome: 'fits' | 'previous-was-wrong' | 'new-cluster'; readings: HistoryReading[]; dropped: HistoryReading[] } {
  const { kept } = acceptReadings(readings, candidate.date, intake, parameters);
  if (gate(readings, candidate, intake, parameters).verdict === 'plausible') {
    return { outcome: 'fits', readings: [...kept, candidate], dropped: [] };
  }
  const earlier = kept.slice(0, -1);
  const fitsEarlier = gate(earlier, candidate, intake, parameters).verdict === 'plausible';
  if (fitsEarlier) return { outcome: 'previous-was-wrong', readings: [...earlier, candidate], dropped: kept.slice(-1) };
  return { outcome: 'new-cluster', readings: [...kept, { ...candidate, clusterReset: true }], dropped: [] };
}
