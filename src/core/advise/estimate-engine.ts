import type { Facts } from '../model/facts.ts';
import type { EngineClass } from './engines.ts';
import type { ServiceBook } from './services.ts';
import { dieselOnly, type Family } from './vehicles.ts';

/**
 * The families to price for: those that the advice reckons with, gasoline engines alone where that fuel is told, and
 * none where the book knows no such engine. A pump that was changed to another design takes no kit.
 */
export function candidatesForPrice(facts: Facts, { engines, vehicles }: ServiceBook): readonly Family[] {
  const engine = engines.classOf(facts);
  if (engine.fuelTold === 'gasoline') return vehicles.families.filter(({ fuel }) => fuel === 'gasoline');
  const families = believed(engine);
  const changed = facts.pumpReplaced === true && !facts.unsure?.includes('pumpReplaced');
  return changed ? families.map(withOtherPump) : families;
}

/** The families of a class without those that the told fuel rules out; a told diesel is one, whatever the book says. */
export const believed = ({ families, fuelTold }: EngineClass): readonly Family[] =>
  fuelTold === 'diesel' ? dieselOnly(families) : families;

function withOtherPump(family: Family): Family {
  if (family.fuel === 'gasoline' || !family.kit) return family;
  const { kit: _kit, ...rest } = family;
  return { ...rest, fuelSystem: { ...family.fuelSystem, design: 'other-common-rail', certain: true } };
}
