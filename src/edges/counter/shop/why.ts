import { HOLDING_STATES } from '../../../core/mod.ts';
import type { VehicleView } from '../../store/types.ts';
import type { Means } from '../means.ts';
import { sayIn } from './frame.ts';
import { day } from './words.ts';

/** What the assistant will write to a truck's owner next and why, or why it writes nothing. */
export function whyNow(view: VehicleView, means: Means): string {
  const say = sayIn(means);
  const { vehicle, owner, requests, followUps } = view;
  if (vehicle.state !== 'active') return say('why-sold');
  if (owner.optedOut) return say('why-opted-out');
  if (!owner.consented) return say('why-no-consent');
  if (owner.unreachable) return say('why-unreachable');
  if (requests.some(({ state }) => HOLDING_STATES.includes(state))) return say('why-booking-open');
  const putOff = followUps.find(({ kind, state }) => kind === 'put-off' && state === 'waiting');
  if (putOff) return say('why-put-off', { date: day(putOff.dueAt.slice(0, 10)) });
  const outlook = means.outlook(view);
  if (!outlook) return say(vehicle.readings.length === 0 ? 'why-no-reading' : 'why-nothing-due');
  const because = reason(outlook.because, means);
  if (outlook.because === 'phone') return because;
  const { ask, offer } = outlook.next;
  const date = ask ?? offer;
  if (date === null) return say('why-nothing-due');
  return `${say(ask ? 'why-asks' : 'why-offers', { date: day(date) })} ${because}`;
}

/** A plan's reason in words; as it stands where no text has it. */
const reason = (id: string, means: Means): string =>
  means.flows.texts.ids.has(`reason-${id}`) ? sayIn(means)(`reason-${id}`) : id;

/** An entry of a message's log in words. */
export function reasonWords(what: string, means: Means): string {
  const [, date, id] = /^planned for (\d{4}-\d{2}-\d{2}): ([a-z-]+)$/.exec(what) ?? [];
  if (date === undefined || id === undefined) return what;
  return `${sayIn(means)('why-planned', { date: day(date) })} ${reason(id, means)}`;
}
