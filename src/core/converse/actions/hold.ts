import { DateTime } from 'luxon';
import type { Slot } from '../../model/booking.ts';
import type { FollowUpEvent } from '../../model/follow-up-log.ts';
import type { FollowUp } from '../../model/owner.ts';
import { language, newId, reply, text, withFollowUp, withTalk, type Action, type Scene } from '../scene.ts';
import { slotWords } from '../words.ts';

/** A time that was tapped is nobody else's while the owner gives name and number; so long and no longer. */
export const hold: Record<string, Action> = {
  holdChosen(scene) {
    const { chosen } = scene.file.conversation;
    return chosen ? held(scene, chosen) : scene;
  },

  /** The hold is over: the time goes back, and the owner hears so while it is still a choice. */
  endHold(scene) {
    const { hold: over, chosen } = scene.file.conversation;
    const ended = withoutHold(scene, 'hold-over');
    if (!over || !chosen) return ended;
    return reply(ended, text(scene, 'hold-over', { time: slotWords(over.slot, language(scene)) }));
  },
};

function held(scene: Scene, slot: Slot): Scene {
  const { holdMinutes } = scene.tools.shop.booking;
  const until = new Date(Date.parse(scene.now) + holdMinutes * 60_000).toISOString();
  const [id, next] = newId(withoutHold(scene, 'hold-not-wanted'));
  const ends: FollowUp = {
    id: `f-${id}`,
    kind: 'hold-ends',
    dueAt: until,
    state: 'waiting',
    services: [],
    attempts: 0,
    log: [{ at: scene.now, what: 'held', minutes: holdMinutes }],
  };
  const kept = withTalk(withFollowUp(next, ends), { hold: { slot, until } });
  const { zone } = scene.tools.shop;
  const clock = DateTime.fromISO(until, { zone }).setLocale(language(scene) === 'es' ? 'es-US' : 'en-US');
  return reply(
    kept,
    text(scene, 'slot-held', {
      time: slotWords(slot, language(scene)),
      until: clock.toLocaleString(DateTime.TIME_SIMPLE),
    }),
  );
}

function withoutHold(scene: Scene, why: FollowUpEvent): Scene {
  const { hold: _over, ...conversation } = scene.file.conversation;
  const free = { ...scene, file: { ...scene.file, conversation } };
  return scene.file.followUps
    .filter(({ kind, state }) => kind === 'hold-ends' && state === 'waiting')
    .reduce(
      (next, due) => withFollowUp(next, { ...due, state: 'closed', log: [...due.log, { at: scene.now, what: why }] }),
      free,
    );
}

/** A time is held only while it is the one chosen: at the end of a turn anything else is given back. */
export function releaseHold(scene: Scene): Scene {
  const { hold: kept, chosen } = scene.file.conversation;
  if (!kept) return scene;
  const same = chosen?.bay === kept.slot.bay && chosen.start === kept.slot.start && chosen.end === kept.slot.end;
  return same ? scene : withoutHold(scene, 'hold-not-wanted');
}
