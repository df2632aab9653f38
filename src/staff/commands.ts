import { DateTime } from 'luxon';
import { factsOf, serviceText, type Button, type Flows, type Instant, type StaffAction } from './core/mod.ts';
import type { RequestView, Store } from './edges/store/types.ts';

/** What a command in the staff chat leads to: words back to the chat, or an action on one request. */
export type StaffCommand =
  { kind: 'words'; text: string; buttons?: Button[] } | { kind: 'action'; ownerId: string; action: StaffAction };

interface CommandMeans {
  store: Store;
  flows: Flows;
  now: () => Instant;
}

const METAL = ['none', 'doubtful', 'metal'];

/**
 * Commands that staff write in their chat: /today, /tomorrow, /requests, /due, /close REQUEST MILES METAL, /say REQUEST
 * WORDS. Anything else that begins with a slash is answered with the list of them; other talk is the staff's own.
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
    case 'close':
      return close(rest, means);
    case 'say':
      return tell(rest, means);
    default:
      return words('staff-commands', means);
  }
}

const say = ({ flows }: CommandMeans, id: string, values: Record<string, string | number> = {}): string =>
  flows.texts.say('en', id, values);

const words = (id: string, means: CommandMeans, values: Record<string, string | number> = {}): StaffCommand => ({
  kind: 'words',
  text: say(means, id, values),
});

const list = (means: CommandMeans, head: string, lines: string[]): StaffCommand => ({
  kind: 'words',
  text: [head, ...(lines.length > 0 ? lines : [say(means, 'list-none')])].join('\n'),
});

function line({ request, owner }: RequestView, means: CommandMeans): string {
  const facts = factsOf(request.facts);
  const truck = [facts.modelYear, facts.engineLitres && `${facts.engineLitres.toFixed(1)} L`].filter(Boolean).join(' ');
  const { zone, bays } = means.flows.shop;
  const start = request.slot
    ? DateTime.fromISO(request.slot.start, { zone }).toFormat('ccc d LLL h:mm a')
    : say(means, 'time-open');
  return say(means, 'staff-line', {
    id: request.id,
    time: start,
    bay: bays.find(({ id }) => id === request.slot?.bay)?.name ?? '',
    truck: truck === '' ? say(means, 'truck-unknown-shop') : truck,
    owner: owner.name ?? say(means, 'no-name'),
    work: request.services.map((id) => serviceText(id, means.flows.services, 'en').name).join(', '),
    state: say(means, `state-${request.state}`),
  });
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

async function close(rest: string, means: CommandMeans): Promise<StaffCommand> {
  const [id = '', milesText = '', metal = ''] = rest.trim().split(/\s+/);
  const miles = Number(milesText.replace(/,/g, ''));
  const view = await means.store.views.request(id);
  if (!view) return words('staff-no-request', means);
  const fuelWork = view.request.services.some(
    (service) => service === 'fuel-contamination-check' || service === 'pump-protection-kit',
  );
  if (!Number.isInteger(miles) || miles <= 0 || (fuelWork && !METAL.includes(metal)))
    return words('staff-close-how', means, { id });
  const findings = fuelWork ? [{ service: 'fuel-contamination-check' as const, finding: metal }] : [];
  const date = DateTime.fromISO(means.now(), { zone: means.flows.shop.zone }).toISODate() ?? '';
  const report = { date, odometerMiles: miles, services: view.request.services, findings, putOff: [] };
  const { revision } = view.request;
  return { kind: 'action', ownerId: view.owner.id, action: { do: 'close', requestId: id, revision, report } };
}

async function tell(rest: string, means: CommandMeans): Promise<StaffCommand> {
  const [, id = '', text = ''] = /^(\S+)\s+([\s\S]+)$/.exec(rest.trim()) ?? [];
  const view = await means.store.views.request(id);
  if (!view || text === '') return words('staff-say-how', means);
  return { kind: 'action', ownerId: view.owner.id, action: { do: 'say', text } };
}
