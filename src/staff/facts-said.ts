import { DateTime } from 'luxon';
import { read, type Facts, type Flows, type Instant } from '../core/mod.ts';

/**
 * What staff write of somebody's truck and of what is wrong with it, read as an owner's words are, as facts that are
 * sure. Where the two contradict each other, the words for the truck hold.
 */
export function factsSaid(said: { truck: string; complaint: string }, flows: Flows, now: Instant): Facts {
  const today = DateTime.fromISO(now, { zone: flows.shop.zone }).toISODate() ?? '';
  const sure = (text: string): Facts => {
    const { facts } = read({ text, today }, flows.lexicon);
    const { intent: _wish, wantedTime: _when, answer: _answer, unsure = [], ...told } = facts;
    return Object.fromEntries(Object.entries(told).filter(([key]) => !unsure.includes(key)));
  };
  return { ...sure(said.complaint), ...sure(said.truck) };
}
