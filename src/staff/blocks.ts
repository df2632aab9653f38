import { DateTime } from 'luxon';
import { headOf, line, list, say, words, type CommandMeans, type StaffCommand } from './means.ts';
import { clockOn, dayFrom, isoOf } from './when.ts';

const DAYS_SHOWN = 60;

/** "bay-2 thu 9:00 to 12:00 lift inspection", "fenwick 2026-11-05 day off": a whole day where no time is given. */
export async function block(rest: string, means: CommandMeans): Promise<StaffCommand> {
  const { shop } = means.flows;
  const [resource, afterResource] = headOf(rest);
  const known = [...shop.bays, ...shop.people].find(({ id }) => id === resource);
  const [dayText, said] = headOf(afterResource);
  const day = dayFrom(dayText, means.now(), shop.zone);
  const span = day && spanOf(day, said, means);
  if (!known || !span || span.because === '' || span.end <= span.start) return words('staff-block-how', means);
  const id = `b-${means.externalId}`;
  const entry = {
    id,
    resource,
    start: isoOf(span.start),
    end: isoOf(span.end),
    because: span.because,
    by: means.by,
    at: means.now(),
  };
  const outcome = await means.store.transaction(async (tx) => {
    const added = await tx.addBlock(entry);
    if (added.outcome === 'saved') {
      await tx.addChanges([{ at: means.now(), kind: 'block', ownerId: null, subject: id }]);
    }
    return added;
  });
  const values = { name: known.name, from: shown(span.start), to: shown(span.end), because: span.because, id };
  if (outcome.outcome === 'saved') return words('staff-blocked', means, values);
  const inTheWay = await Promise.all(outcome.holders.map((holder) => means.store.views.request(holder)));
  const lines = outcome.holders.map((holder, index) => {
    const view = inTheWay[index];
    return view
      ? line(view, means)
      : say(means, holder.startsWith('hold-') ? 'staff-held' : 'staff-blocked-already', { id: holder });
  });
  return list(means, say(means, 'staff-not-blocked', { name: known.name }), lines);
}

/** From a time to a time of the same day, to a time of another day ("to fri 12:00"), or the whole day. */
function spanOf(day: DateTime, said: string, means: CommandMeans) {
  const times = /^(\S+)\s*(?:-|–|to)\s*(?:([a-z0-9/-]+)\s+)?(\d{1,2}(?::\d{2})?(?:am|pm)?)\s+([\s\S]+)$/i.exec(said);
  // A time that is not understood must not block a whole day.
  if (!times && /^(?:\d|to\b|-|–)/i.test(said.trim())) return undefined;
  if (!times) return { start: day, end: day.plus({ days: 1 }), because: said.trim() };
  const [, fromText = '', untilText, toText = '', because = ''] = times;
  const until = untilText === undefined ? day : dayFrom(untilText, means.now(), means.flows.shop.zone);
  const start = clockOn(day, fromText);
  const end = until && clockOn(until, toText);
  return start && end ? { start, end, because: because.trim() } : undefined;
}

const shown = (time: DateTime): string => time.setLocale('en-US').toFormat('ccc d LLL h:mm a');

export async function unblock(rest: string, means: CommandMeans): Promise<StaffCommand> {
  const [id] = headOf(rest);
  const ended = await means.store.transaction(async (tx) => {
    const done = await tx.endBlock(id);
    if (done) await tx.addChanges([{ at: means.now(), kind: 'block', ownerId: null, subject: id }]);
    return done;
  });
  return words(ended ? 'staff-unblocked' : 'staff-no-block', means, { id });
}

export async function blocks(means: CommandMeans): Promise<StaffCommand> {
  const { shop } = means.flows;
  const now = means.now();
  const to = new Date(Date.parse(now) + DAYS_SHOWN * 86_400_000).toISOString();
  const found = await means.store.views.blocks(now, to, shop.zone);
  const lines = found.map(({ id, resource, start, end, because, by }) => {
    const name = [...shop.bays, ...shop.people].find((one) => one.id === resource)?.name ?? resource;
    const at = (iso: string) => shown(DateTime.fromISO(iso, { zone: shop.zone }));
    return say(means, 'staff-block-line', { id, name, from: at(start), to: at(end), because, by });
  });
  return list(means, say(means, 'staff-blocks-head'), lines);
}
