import { converse, releaseHold, type Scene } from './converse/mod.ts';
import type { Flows } from './flows.ts';
import type { OwnerFile } from './model/owner.ts';
import type { Instant, Zone } from './model/time.ts';
import type { Effect, InboxEvent, Known, TurnResult } from './model/turn.ts';
import { planFollowUps } from './plan.ts';
import { ownersDay, toolsFor } from './tools.ts';

/**
 * The main path: one event to one owner, whatever the channel. Understand what was said, move the talk, advise, book,
 * and plan what is owed later. Pure: the same values in give the same values out.
 *
 * `known` is what the desk loaded; where the diary is needed and missing, the answer is `need`, and the desk calls again
 * with it. `now` is the moment of the turn; wording such as "tomorrow" resolves against the event's own time.
 */
export function turn(known: Known, event: InboxEvent, flows: Flows, now: Instant): TurnResult {
  const scene = open(known, event, flows, now);
  const talked = converse(scene, flows.talk);
  if (talked.need) return { done: false, need: talked.need };
  const planned = planFollowUps(releaseHold(talked));
  return {
    done: true,
    next: counted(planned),
    replies: [...planned.replies],
    effects: [...planned.effects, ...unread(planned)],
    trace: [...planned.trace],
  };
}

function open(known: Known, event: InboxEvent, flows: Flows, now: Instant): Scene {
  const file = inZone(known.file, event.zone);
  return {
    file,
    event,
    now,
    today: ownersDay(file, event.at),
    ...(known.token && { token: known.token }),
    heard: {},
    replies: [],
    effects: [],
    trace: [],
    ordinal: 0,
    tools: toolsFor(flows, { ...known, file }, now),
  };
}

/** Whoever travels is written to by the clock where they are: the zone last told holds. */
const inZone = (file: OwnerFile, zone: Zone | undefined): OwnerFile =>
  zone === undefined || zone === file.owner.zone ? file : { ...file, owner: { ...file.owner, zone } };

/** Unasked messages are counted when they are written, so that the limits hold whatever delivery does. */
function counted({ file, replies, now }: Scene): OwnerFile {
  return replies.some(({ unasked }) => unasked) ? { ...file, unaskedAt: [...file.unaskedAt, now] } : file;
}

/** What no pattern read is kept for the shop to label. */
function unread({ heard }: Scene): Effect[] {
  const clauses = heard.read?.unread ?? [];
  if (clauses.length === 0) return [];
  return [{ do: 'keep-unread', clauses, ...(heard.question && { asked: heard.question.about }) }];
}
