import { readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { performance } from 'node:perf_hooks';
import { pathToFileURL } from 'node:url';
import { compileShop, findSlots, type SlotsMeans } from '../../src/core/book/mod.ts';
import type { SlotsRequest, Taken } from '../../src/core/model/booking.ts';
import type { FlowFile } from '../../src/core/model/checked.ts';
import type { Shop } from '../../src/core/model/shop.ts';
import { compileTexts } from '../../src/core/model/texts.ts';

/*
 * The next three times in a year's diary of eight bays, by the number of jobs in it. The diary fills up from now on,
 * as a diary does, so that the more jobs there are the further the search has to look.
 */
const BAYS = 8;
const NOW = '2026-01-05T08:00:00-07:00';
const HOURS = 2;
const SIZES = [0, 500, 1000, 2500, 5000, 10_000];

function means(): SlotsMeans {
  const root = resolve(import.meta.dirname, '../..');
  const file = (path: string): FlowFile => ({ path, text: readFileSync(join(root, path), 'utf8') });
  const checked = compileShop([file('flows/shop.yaml')]);
  const texts = compileTexts([file('flows/texts/booking.en.ftl'), file('flows/texts/booking.es.ftl')]);
  if (!checked.ok || !texts.ok) throw new Error('the flows are not sound');
  const bays: Shop['bays'] = Array.from({ length: BAYS }, (_, index) => ({
    id: `bay-${index + 1}`,
    name: `Bay ${index + 1}`,
    lift: true,
    cannot: [],
  }));
  const people: Shop['people'] = Array.from({ length: BAYS }, (_, index) => ({
    id: `person-${index + 1}`,
    name: `Person ${index + 1}`,
    role: 'technician',
  }));
  return { shop: { ...checked.value, bays, people }, texts: texts.value, hoursOf: () => HOURS };
}

const WEEKDAY_JOBS = [
  ['07:30', '09:30'],
  ['09:45', '11:45'],
  ['12:00', '14:00'],
  ['14:15', '16:15'],
] as const;
const SATURDAY_JOBS = [['08:00', '11:00']] as const;

/** Jobs that leave no two hours free, day after day in every bay; every second bay's name their person. */
function diaryOf(size: number): Taken[] {
  const taken: Taken[] = [];
  for (let day = 0; taken.length < size; day++) {
    const at = new Date(Date.UTC(2026, 0, 5 + day));
    const date = at.toISOString().slice(0, 10);
    const jobs = at.getUTCDay() === 0 ? [] : at.getUTCDay() === 6 ? SATURDAY_JOBS : WEEKDAY_JOBS;
    for (let bay = 1; bay <= BAYS; bay++) {
      for (const [from, to] of jobs) {
        if (taken.length >= size) return taken;
        const person = bay % 2 === 0 ? { person: `person-${bay}` } : {};
        taken.push({ bay: `bay-${bay}`, start: `${date}T${from}:00-07:00`, end: `${date}T${to}:00-07:00`, ...person });
      }
    }
  }
  return taken;
}

function median(times: number[]): number {
  return [...times].sort((a, b) => a - b)[Math.floor(times.length / 2)] ?? NaN;
}

export interface SlotsMeasure {
  jobs: number;
  medianMilliseconds: number;
  first: string;
}

/** Median time of a search by the size of the diary: the next times, and times near a wanted day half a year ahead. */
export function measureSlots(): { next: SlotsMeasure[]; wanted: SlotsMeasure[] } {
  const given = means();
  const measure = (request: Omit<SlotsRequest, 'booked'>): SlotsMeasure[] =>
    SIZES.map((jobs) => {
      const booked = diaryOf(jobs);
      const times: number[] = [];
      let first = '';
      for (let run = 0; run < 40; run++) {
        const began = performance.now();
        first = findSlots({ ...request, booked }, given).slots[0]?.start ?? '';
        times.push(performance.now() - began);
      }
      return { jobs, medianMilliseconds: median(times.slice(10)), first };
    });
  const base = { now: NOW, services: ['scan-diagnosis'] as SlotsRequest['services'], facts: {} };
  // Once through without counting, so that the first rows do not pay for the compiler.
  measure(base);
  return {
    next: measure(base),
    wanted: measure({ ...base, wantedTime: { date: '2026-07-01', part: 'morning' } }),
  };
}

export function printSlots(): void {
  const { next, wanted } = measureSlots();
  const least = next.find(({ jobs }) => jobs === 500)?.medianMilliseconds ?? NaN;
  console.log(`next three times, ${BAYS} bays, one year (median of 30 searches)`);
  console.log('   jobs   next free    ratio to 500   near a wanted day   first free time');
  next.forEach(({ jobs, medianMilliseconds, first }, index) => {
    const cells = [
      String(jobs).padStart(7),
      `${medianMilliseconds.toFixed(2)} ms`.padStart(11),
      (medianMilliseconds / least).toFixed(2).padStart(15),
      `${(wanted[index]?.medianMilliseconds ?? NaN).toFixed(2)} ms`.padStart(19),
      `  ${first || 'none within the year'}`,
    ];
    console.log(cells.join(' '));
  });
}

if (process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href) printSlots();
