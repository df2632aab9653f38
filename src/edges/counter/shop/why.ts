import { HOLDING_STATES, type FollowUpEntry, type PlanReason } from '../../../core/mod.ts';
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

const reason = (id: PlanReason, means: Means): string => sayIn(means)(`reason-${id}`);

/** An entry of a message's log in words. */
export function entryWords({ what, date, because, guess, minutes, words }: FollowUpEntry, means: Means): string {
  const say = sayIn(means);
  switch (what) {
    case 'planned': {
      const on = say('log-planned', { date: date === undefined ? say('truck-far') : day(date) });
      return because ? `${on} ${reason(because, means)}` : on;
    }
    case 'answered-roughly':
      return say('log-answered-roughly', { miles: guess ?? 0 });
    case 'held':
      return say('log-held', { minutes: minutes ?? 0 });
    case 'noted':
      return words ?? '';
    default:
      return say(`log-${what}`);
  }
}
