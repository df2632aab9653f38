import { DateTime } from 'luxon';
import type { Slot } from './booking.ts';
import type { StaffAction } from './turn.ts';

/** Staff actions that fit a button; closing a job and free words need more than one tap. */
export type TappedAction = Exclude<StaffAction, { do: 'close' } | { do: 'say' }>;

/** Bytes that a button's data may hold on every channel. */
export const BUTTON_DATA_BYTES = 64;

const PLAIN = ['accept', 'list-times', 'arrive', 'start-work', 'no-show', 'call'] as const;
const WITH_REASON = ['decline', 'cancel'] as const;
const WITH_SLOT = ['offer-time', 'move'] as const;

const isOneOf = <T extends string>(names: readonly T[], name: string): name is T =>
  (names as readonly string[]).includes(name);

const DATA = /^s:([\x21-\x7e]+):(\d{1,9}):([a-z-]+)(?:@([\x21-\x7e]+))?$/;
const SLOT = /^([A-Za-z0-9._-]+)@(\d{8}T\d{4}(?:Z|[+-]\d{4}))@(\d{1,5})$/;

/** `bay@20261105T0900-0700@240`: start in ISO 8601 basic format with its offset, then minutes. */
function slotToData(slot: Slot): string {
  const start = DateTime.fromISO(slot.start, { setZone: true });
  const minutes = Math.round(DateTime.fromISO(slot.end).diff(start, 'minutes').minutes);
  return `${slot.bay}@${start.toFormat("yyyyMMdd'T'HHmmZZZ")}@${minutes}`;
}

function slotFromData(data: string): Slot | undefined {
  const [, bay, startText, minutes] = SLOT.exec(data) ?? [];
  if (!bay || !startText || !minutes || Number(minutes) === 0) return undefined;
  const start = DateTime.fromISO(startText, { setZone: true });
  const end = start.plus({ minutes: Number(minutes) });
  const iso = (time: DateTime): string | null => time.toISO({ suppressMilliseconds: true });
  const [startIso, endIso] = [iso(start), iso(end)];
  return startIso && endIso ? { bay, start: startIso, end: endIso } : undefined;
}

/**
 * The data of a staff button: `s:REQUEST:REVISION:ACTION`, with `@REASON` after decline and cancel and
 * `@BAY@START@MINUTES` after offer-time and move. A reason is an id without blanks, not a sentence.
 * Throws a RangeError where the result would not fit a button, which is a fault in the identifiers.
 */
export function staffActionData(action: TappedAction): string {
  const head = `s:${action.requestId}:${action.revision}:${action.do}`;
  const argument = 'slot' in action ? slotToData(action.slot) : 'because' in action ? action.because : '';
  const data = argument ? `${head}@${argument}` : head;
  if (!DATA.test(data) || data.length > BUTTON_DATA_BYTES) {
    throw new RangeError(`A staff button must be ${BUTTON_DATA_BYTES} plain characters at most: ${data}`);
  }
  return data;
}

/**
 * Reads the data of a pressed staff button, or undefined where it is none of ours. A slot comes back as the same
 * instants, both written with the offset of its start.
 */
export function parseStaffActionData(data: string): TappedAction | undefined {
  if (data.length > BUTTON_DATA_BYTES) return undefined;
  const [, requestId, revisionText, name, argument] = DATA.exec(data) ?? [];
  if (!requestId || !revisionText || !name) return undefined;
  const revision = Number(revisionText);
  if (isOneOf(PLAIN, name)) return argument === undefined ? { do: name, requestId, revision } : undefined;
  if (isOneOf(WITH_REASON, name)) return { do: name, requestId, revision, because: argument ?? '' };
  if (isOneOf(WITH_SLOT, name)) {
    const slot = argument === undefined ? undefined : slotFromData(argument);
    return slot && { do: name, requestId, revision, slot };
  }
  return undefined;
}
