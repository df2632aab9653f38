import { DateTime } from 'luxon';
import { workMinutesOf, type Block, type BookingRequest, type DayEntry } from '../../../core/mod.ts';
import type { RequestView } from '../../store/types.ts';
import { mayDo } from '../access.ts';
import type { Means } from '../means.ts';
import type { EntryWords } from './diary-picture.ts';
import { sayIn } from './frame.ts';
import type { Session } from './session.ts';
import { bayName, serviceName, shortTruck } from './words.ts';

const LOOKS: Record<BookingRequest['state'], EntryWords['look']> = {
  requested: 'asked',
  'other-time': 'asked',
  accepted: 'agreed',
  declined: 'done',
  cancelled: 'done',
  'no-show': 'done',
  closed: 'done',
  arrived: 'house',
  'in-work': 'house',
  'awaiting-approval': 'house',
};

/** States whose time can still be another one, and what that means for the owner. */
const MOVES: Partial<Record<BookingRequest['state'], 'move' | 'offer'>> = {
  requested: 'offer',
  'other-time': 'offer',
  accepted: 'move',
  arrived: 'move',
  'in-work': 'move',
  'awaiting-approval': 'move',
};

/** What the pictures say of an entry: truck, owner, state and work; why a bay is blocked. */
export function entryWords(
  views: readonly RequestView[],
  blocks: readonly Block[],
  means: Means,
  session: Session,
): (entry: DayEntry, lane: string) => EntryWords {
  const say = sayIn(means);
  const { zone } = means.flows.shop;
  const clock = (at: string) => DateTime.fromISO(at, { zone }).setLocale('en-US').toFormat('h:mm a');
  return (entry, lane) => {
    const view = views.find(({ request }) => request.id === entry.requestId);
    const time = `${clock(entry.start)} – ${clock(entry.end)}`;
    if (!view) {
      const block = blocks.find(({ resource, start }) => resource === lane && sameInstant(start, entry.start));
      const because = block?.because ?? say('day-blocked');
      return { title: `${because}, ${time}`, lines: [because, time], look: 'block' };
    }
    const { request, owner } = view;
    const truck = shortTruck(request, means);
    const state = say(`state-${request.state}`);
    const work = request.services.map((id) => serviceName(id, means)).join(', ');
    const verb = mayDo('own-time', session.staff.role) ? MOVES[request.state] : undefined;
    return {
      link: `/counter/request/${request.id}`,
      title: [truck, owner.name, bayName(lane, means), time, state, work].filter(Boolean).join(', '),
      lines: [truck, owner.name ?? say('no-name'), state, time, work],
      look: LOOKS[request.state],
      ...(verb &&
        request.slot && {
          move: { revision: request.revision, hours: workMinutesOf(request.slot, means.flows.shop) / 60, verb },
        }),
    };
  };
}

const sameInstant = (one: string, other: string): boolean => Date.parse(one) === Date.parse(other);
