import type { FlowFinding } from '../model/checked.ts';
import type { LocatedYaml } from '../model/flow-yaml.ts';
import type { VehiclesFile } from './vehicles-schema.ts';

type Engine = VehiclesFile['engines'][number];
type Say = (keys: readonly PropertyKey[], message: string) => void;

/** What is wrong across the engines of all files: ids, year ranges, and data that contradict each other. */
export function checkEngines(files: readonly LocatedYaml<VehiclesFile>[]): FlowFinding[] {
  const findings: FlowFinding[] = [];
  const seen = new Map<string, string>();
  const makes = new Map<string, string>();
  for (const file of files) {
    file.value.engines.forEach((engine, index) => {
      const say: Say = (keys, message) => findings.push(file.finding(['engines', index, ...keys], message));
      const once = (id: string, keys: readonly PropertyKey[]) => {
        const before = seen.get(id);
        if (before) say(keys, `the id ${id} is used twice, first in ${before}`);
        seen.set(id, file.path);
      };
      once(engine.id, ['id']);
      engine.families.forEach((family, nth) => once(family.id, ['families', nth, 'id']));
      const make = [engine.litres, engine.cylinders, engine.layout, engine.fuel].join(' ');
      const twin = makes.get(make);
      if (twin) say(['id'], `${twin} is the same engine (${make}); put the families of both into one`);
      makes.set(make, engine.id);
      checkYears(engine, say);
      checkFamilies(engine, say);
    });
  }
  return findings;
}

function checkYears(engine: Engine, say: Say): void {
  const lastYear = (to: number | 'now') => (to === 'now' ? Infinity : to);
  const inOrder = engine.families
    .map((family, nth) => ({ id: family.id, from: family.years.from, to: lastYear(family.years.to), nth }))
    .sort((a, b) => a.from - b.from || a.to - b.to);
  for (const { id, from, to, nth } of inOrder) {
    if (to < from) say(['families', nth, 'years'], `${id} ends in ${to}, before it starts in ${from}`);
  }
  const changeovers = new Set(engine.changeovers.map(({ year }) => year));
  const used = new Set<number>();
  const pauses = new Set(engine.pauses.map(({ from, to }) => `${from}-${to}`));
  let reached = inOrder[0];
  for (const next of inOrder.slice(1)) {
    if (!reached) break;
    const place = ['families', next.nth, 'years'];
    for (let year = next.from; year <= Math.min(reached.to, next.to); year++) {
      if (!changeovers.has(year)) {
        say(place, `${next.id} overlaps ${reached.id} in ${year}; end one earlier or declare a changeover`);
        break;
      }
      used.add(year);
    }
    if (next.from > reached.to + 1) {
      const gap = `${reached.to + 1}-${next.from - 1}`;
      if (!pauses.delete(gap)) say(place, `no family covers ${gap} before ${next.id}; add one or declare a pause`);
    }
    if (next.to > reached.to) reached = next;
  }
  for (const gap of pauses) say(['pauses'], `the pause ${gap} does not stand between two families`);
  for (const year of changeovers) {
    if (!used.has(year)) say(['changeovers'], `no two families meet in the changeover year ${year}`);
  }
}

function checkFamilies(engine: Engine, say: Say): void {
  if (engine.fuel === 'gasoline') return;
  engine.families.forEach((family, nth) => {
    const here = ['families', nth] as const;
    const takesKit = family.fuelSystem.design === 'two-plunger';
    if (takesKit && !family.kit) say(here, `${family.id} has the two-plunger pump and needs the kit's fitting data`);
    if (!takesKit && family.kit)
      say([...here, 'kit'], `${family.id} has fitting data for a kit, but no two-plunger pump`);
    if ((family.breather.fitted === 'no') !== (family.breather.miles === undefined)) {
      say([...here, 'breather'], `${family.id}: a breather filter has an interval, and none has none`);
    }
    if (family.exhaustFluid.fitted === 'yes' && family.particulateFilter.fitted === 'no') {
      say([...here, 'exhaustFluid'], `${family.id} has exhaust fluid but no particulate filter`);
    }
  });
}
