import type { Language } from '../model/ids.ts';
import type { Wording } from './advice-schema.ts';
import type { Situation } from './situation.ts';

const THOUSANDS = new Intl.NumberFormat('en-US', { maximumFractionDigits: 0 });

/** Figures that a text may name, as `{name}`. */
export const FIGURES = [
  'odometerMiles',
  'milesOnPump',
  'fuelFilterMilesOver',
  'oilMilesOver',
  'breatherMilesOver',
  'troubleCodes',
] as const;

/** Puts the figures of a situation into a text. Miles are written with thousands separated by a comma. */
export function say(wording: Wording, language: Language, situation: Situation): string {
  return wording[language].replace(/\{(\w+)\}/g, (whole, name: string) => figure(name, situation) ?? whole);
}

function figure(name: string, situation: Situation): string | undefined {
  const miles = (fact: string, sign: 1 | -1 = 1): string | undefined => {
    const view = situation.view(fact);
    if (view.kind !== 'number') return undefined;
    const value = sign === 1 ? view.span.low : -view.span.high;
    return Number.isFinite(value) ? THOUSANDS.format(value) : undefined;
  };
  switch (name) {
    case 'odometerMiles':
    case 'milesOnPump':
      return miles(name);
    case 'fuelFilterMilesOver':
      return miles('fuelFilterMilesLeft', -1);
    case 'oilMilesOver':
      return miles('oilMilesLeft', -1);
    case 'breatherMilesOver':
      return miles('breatherMilesLeft', -1);
    case 'troubleCodes':
      return situation.facts.troubleCodes?.join(', ');
    default:
      return undefined;
  }
}
