import { DateTime } from 'luxon';
import { block, blocks, unblock } from './blocks.ts';
import { enter } from './enter.ts';
import { headOf, line, list, say, words, type CommandMeans, type StaffCommand } from './means.ts';
import { papers } from './papers.ts';
import { approved, arrivalOf, closing, moreWork, moving, onRequest } from './work.ts';

export type { StaffCommand } from './means.ts';

/**
 * Commands that staff write in their chat; `staff-commands` in flows/texts lists them. Anything else that begins with a
 * slash is answered with that list; other talk is the staff's own.
 */
export async function staffCommand(text: string, means: CommandMeans): Promise<StaffCommand | undefined> {
  const [, name, rest = ''] = /^\/([a-z]+)(?:@\S+)?\s*([\s\S]*)$/i.exec(text.trim()) ?? [];
  if (name === undefined) return undefined;
  switch (name.toLowerCase()) {
    case 'today':
      return day(0, means);
    case 'tomorrow':
      return day(1, means);
    case 'requests':
      return requests(means);
    case 'due':
      return due(means);
    case 'accept':
      return onRequest(rest, means, () => ({ do: 'accept' }));
    case 'times':
      return onRequest(rest, means, () => ({ do: 'list-times' }));
    case 'decline':
      return onRequest(rest, means, (said) => (said === '' ? 'staff-why-how' : { do: 'decline', because: said }));
    case 'cancel':
      return onRequest(rest, means, (said) => (said === '' ? 'staff-why-how' : { do: 'cancel', because: said }));
    case 'move':
      return onRequest(rest, means, (said, request) => moving(said, request, means));
    case 'longer':
      return onRequest(rest, means, (said) => longer(said));
    case 'here':
      return onRequest(rest, means, (said, { state }) => here(said, state === 'accepted' || state === 'no-show'));
    case 'missed':
      return onRequest(rest, means, () => ({ do: 'no-show' }));
    case 'start':
      return onRequest(rest, means, () => ({ do: 'start-work' }));
    case 'more':
      return onRequest(rest, means, (said) => moreWork(said));
    case 'approved':
      return onRequest(rest, means, (said) => approved(said));
    case 'phoned':
      return onRequest(rest, means, () => ({ do: 'phoned' }));
    case 'close':
      return onRequest(rest, means, (said, request) => closing(said, request, means));
    case 'say':
      return tell(rest, means);
    case 'block':
      return block(rest, means);
    case 'unblock':
      return unblock(rest, means);
    case 'blocks':
      return blocks(means);
    case 'enter':
      return enter(rest, means);
    case 'papers':
      return papers(rest, means);
    default:
      return words('staff-commands', means);
  }
}

function longer(said: string) {
  const hours = Number(said.replace(/\s*h(?:ours?)?$/i, ''));
  return Number.isFinite(hours) && hours !== 0 && Math.abs(hours) <= 200
    ? { do: 'lengthen' as const, hours }
    : 'staff-longer-how';
}

/** The truck is here; what is taken down may come along, or later. */
function here(said: string, comesNow: boolean) {
  const told = arrivalOf(said);
  if (typeof told === 'string' || comesNow) return told;
  return told.arrival ? { do: 'record-arrival' as const, arrival: told.arrival } : told;
}

async function day(days: number, means: CommandMeans): Promise<StaffCommand> {
  const { zone } = means.flows.shop;
  const start = DateTime.fromISO(means.now(), { zone }).startOf('day').plus({ days });
  const utc = (time: DateTime) => time.toUTC().toISO() ?? '';
  const booked = await means.store.views.booked(utc(start), utc(start.plus({ days: 1 })));
  return list(
    means,
    start.setLocale('en-US').toLocaleString(DateTime.DATE_HUGE),
    booked.map((view) => line(view, means)),
  );
}

async function requests(means: CommandMeans): Promise<StaffCommand> {
  const open = await means.store.views.requests(['requested', 'other-time']);
  return list(
    means,
    say(means, 'list-open'),
    open.map((view) => line(view, means)),
  );
}

async function due(means: CommandMeans): Promise<StaffCommand> {
  const until = new Date(Date.parse(means.now()) + 14 * 86_400_000).toISOString();
  const waiting = await means.store.views.due(until, 30);
  const lines = waiting.map(({ followUp, owner }) =>
    say(means, 'staff-due-line', {
      kind: say(means, `follow-up-${followUp.kind}`),
      owner: owner.name ?? say(means, 'no-name'),
      phone: owner.phone ?? say(means, 'no-phone'),
      date: followUp.dueAt.slice(0, 10),
    }),
  );
  return list(means, say(means, 'list-due'), lines);
}

async function tell(rest: string, means: CommandMeans): Promise<StaffCommand> {
  const [id, text] = headOf(rest);
  const view = await means.store.views.request(id);
  if (!view || text === '') return words('staff-say-how', means);
  return { kind: 'action', ownerId: view.owner.id, action: { do: 'say', text } };
}
