import { pathToFileURL } from 'node:url';
import { advise } from '../../src/core/advise/mod.ts';
import type { FactKey, Facts } from '../../src/core/model/facts.ts';
import { shopBook } from '../core/advise/flows.ts';
import { dice, truckOf, type Dice } from '../core/advise/trucks.ts';

/*
 * How many questions an owner is asked until no answer could change the advice any more, by the order of asking. Every
 * way of asking meets the same made-up trucks, which answer every question.
 */
const TRUCKS = 2000;

/** The order of a paper form: the truck, the complaint, the history. */
const FORM: readonly FactKey[] = [
  'modelYear',
  'engineLitres',
  'cylinders',
  'layout',
  'fuel',
  'odometerMiles',
  'symptoms',
  'troubleCodes',
  'tows',
  'lastFuelFilterMiles',
  'lastOilChangeMiles',
  'oilChangeIntervalMiles',
  'breatherOriginal',
  'pumpProtected',
  'pumpReplaced',
  'pumpFittedAtMiles',
  'metalFound',
];

/** What an opening message tells: seldom all of the truck, mostly the complaint. */
const TOLD: Partial<Record<FactKey, number>> = {
  symptoms: 0.7,
  engineLitres: 0.6,
  modelYear: 0.5,
  odometerMiles: 0.4,
  fuel: 0.3,
};

function opening(truck: Facts, roll: Dice): Facts {
  return Object.fromEntries(Object.entries(truck).filter(([key]) => roll() < (TOLD[key as FactKey] ?? 0.05)));
}

/** The next fact to ask for, or undefined where the talk is over. */
type Asker = (open: readonly FactKey[], ask: readonly FactKey[], facts: Facts) => FactKey | undefined;

const ASKERS: Record<string, Asker> = {
  'as a form, until nothing is open': (open, _ask, facts) =>
    open.length === 0 ? undefined : FORM.find((fact) => facts[fact] === undefined),
  'as a form, leaving out what is not open': (open) => FORM.find((fact) => open.includes(fact)),
  'the most weighty open fact first': (open) => open[0],
  'what the owner is asked of the open facts': (_open, ask) => ask[0],
};

export function bench(print: (line: string) => void): void {
  const book = shopBook();
  const counts = new Map<string, number[]>();
  const roll = dice(4);
  for (let n = 0; n < TRUCKS; n++) {
    const truck = truckOf(roll);
    const start = opening(truck, roll);
    for (const [name, next] of Object.entries(ASKERS)) {
      let facts = start;
      let asked = 0;
      for (;;) {
        const { stillUnknown, ask = [] } = advise(facts, book, 'en');
        const fact = next(
          stillUnknown.map((open) => open.fact),
          ask,
          facts,
        );
        if (!fact) break;
        facts = { ...facts, [fact]: truck[fact] };
        asked += 1;
      }
      counts.set(name, [...(counts.get(name) ?? []), asked]);
    }
  }
  print(`questions asked of ${TRUCKS} trucks: mean, standard error, and how many of ten trucks need at most five`);
  for (const [name, asked] of counts) {
    const mean = asked.reduce((sum, count) => sum + count, 0) / asked.length;
    const spread = Math.sqrt(asked.reduce((sum, count) => sum + (count - mean) ** 2, 0) / asked.length / asked.length);
    const few = asked.filter((count) => count <= 5).length / asked.length;
    print(`  ${name.padEnd(44)} ${mean.toFixed(2)} ± ${spread.toFixed(2)}   ${(10 * few).toFixed(1)}`);
  }
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) bench((line) => console.log(line));
