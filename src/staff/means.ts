import { DateTime } from 'luxon';
import { factsOf, serviceText, type Button, type Flows, type Instant, type StaffAction } from '../core/mod.ts';
import type { RequestView, Store } from '../edges/store/types.ts';

/** What a command in the staff chat leads to: words back to the chat, or an action on one owner's file. */
export type StaffCommand =
  { kind: 'words'; text: string; buttons?: Button[] } | { kind: 'action'; ownerId: string; action: StaffAction };

export interface CommandMeans {
  store: Store;
  flows: Flows;
  now: () => Instant;
  /** Who writes, by name. */
  by: string;
  /** Unique for this message: what the command makes is named after it. */
  externalId: string;
}

export const say = ({ flows }: Pick<CommandMeans, 'flows'>, id: string, values: Record<string, string | number> = {}) =>
  flows.texts.say('en', id, values);

export const words = (id: string, means: CommandMeans, values: Record<string, string | number> = {}): StaffCommand => ({
  kind: 'words',
  text: say(means, id, values),
});

export const list = (means: CommandMeans, head: string, lines: string[]): StaffCommand => ({
  kind: 'words',
  text: [head, ...(lines.length > 0 ? lines : [say(means, 'list-none')])].join('\n'),
});

/** One request as a line of a list. */
export function line({ request, owner }: RequestView, means: CommandMeans): string {
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

/** The first word of a text and what follows it. */
export function headOf(text: string): [head: string, rest: string] {
  const [, head = '', rest = ''] = /^(\S*)\s*([\s\S]*)$/.exec(text.trim()) ?? [];
  return [head, rest];
}
