import type { Facts } from '../model/facts.ts';
import type { Language } from '../model/ids.ts';
import type { Wording } from './advice-schema.ts';
import { RULE_FACTS } from './rule-facts.ts';
import type { Situation } from './situation.ts';
import type { Family } from './vehicles.ts';

const THOUSANDS = new Intl.NumberFormat('en-US', { maximumFractionDigits: 0 });

/** Figures that a text may name, as `{name}`: miles left or over, codes and year as told, and the years of the engine. */
export const FIGURES = [
  'odometerMiles',
  'milesOnPump',
  'fuelFilterMilesLeft',
  'fuelFilterMilesOver',
  'oilMilesLeft',
  'oilMilesOver',
  'breatherMilesLeft',
  'troubleCodes',
  'modelYear',
  'yearsBuilt',
] as const;
export type Figure = (typeof FIGURES)[number];

/** Puts the figures of a truck into a text. Miles are whole, with thousands set off by a comma. */
export function say(wording: Wording, language: Language, situation: Situation, facts: Facts): string {
  const text = wording[language];
  if (!text.includes('{')) return text;
  return text.replace(/\{(\w+)\}/g, (_whole, name: Figure) => figure(name, situation, facts));
}

const OVER: Partial<Record<Figure, string>> = {
  fuelFilterMilesOver: 'fuelFilterMilesLeft',
  oilMilesOver: 'oilMilesLeft',
};

function figure(name: Figure, situation: Situation, facts: Facts): string {
  if (name === 'troubleCodes') return (facts.troubleCodes ?? []).join(', ');
  if (name === 'modelYear') return String(facts.modelYear ?? '?');
  if (name === 'yearsBuilt') return yearsBuilt(situation.engine.families);
  const over = OVER[name];
  const fact = RULE_FACTS[over ?? name];
  if (fact?.kind !== 'number') return '';
  // Of several candidate families the one that makes least of it: the latest due date, the fewest miles over.
  const miles = over ? Math.max(0, -fact.high(situation)) : fact.low(situation);
  return Number.isFinite(miles) ? THOUSANDS.format(miles) : '?';
}

/** The first and the last model year of some families: "2011–2016", or "2011+" where they are still built. */
export function yearsBuilt(families: readonly Family[]): string {
  const from = Math.min(...families.map(({ years }) => years.from));
  const to = Math.max(...families.map(({ years }) => years.to ?? Infinity));
  return Number.isFinite(to) ? `${from}–${to}` : `${from}+`;
}
