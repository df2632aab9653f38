import { DateTime, FixedOffsetZone } from 'luxon';
import type { Slot } from './booking.ts';
import type { StaffAction } from './turn.ts';

/** Staff actions that fit a button; what needs words, numbers or a form takes more than one tap. */
export type TappedAction = Extract<
  StaffAction,
  { do: (typeof PLAIN)[number] | (typeof WITH_REASON)[number] | (typeof WITH_SLOT)[number] }
>;

/** Bytes that a button's data may hold on every channel. */
export const BUTTON_DATA_BYTES = 64;

const PLAIN = ['accept', 'list-times', 'arrive', 'start-work', 'no-show', 'call', 'phoned'] as const;
const WITH_REASON = ['decline', 'cancel'] as const;
const WITH_SLOT = ['offer-time', 'move'] as const;

const isOneOf = <T extends string>(names: readonly T[], name: string): name is T =>
  (names as readonly string[]).includes(name);

const DATA = /^s:([\x21-\x7e]+):(\d{1,9}):([a-z-]+)(?:@([\x21-\x7e]+))?$/;
const SLOT = /^([A-Za-z0-9._-]+)@([0-9a-z]{1,9})([+-])([0-9a-z]{1,2})@(\d{1,5})(?:@([A-Za-z0-9._-]+))?$/;
const QUARTER_MINUTES = 15;

/**
 * `bay@START@minutes@person`, the person where one is named: START is the minute since 1970 and the offset from UTC in
 * quarter hours, both to the base 36, since 64 bytes leave no room for more.
 */
function slotToData({ bay, start: startText, end, person }: Slot): string {
  const start = DateTime.fromISO(startText, { setZone: true });
  const minutes = Math.round(DateTime.fromISO(end).diff(start, 'minutes').minutes);
  const quarters = Math.round(start.offset / QUARTER_MINUTES);
  const offset = `${quarters < 0 ? '-' : '+'}${Math.abs(quarters).toString(36)}`;
  const at = Math.round(start.toMillis() / 60_000).toString(36);
  return `${bay}@${at}${offset}@${minutes}${person === undefined ? '' : `@${person}`}`;
}

function slotFromData(data: string): Slot | undefined {
  const [, bay, at, sign, quarters, minutes, person] = SLOT.exec(data) ?? [];
  if (!bay || !at || !quarters || !minutes || Number(minutes) === 0) return undefined;
  const offset = parseInt(quarters, 36) * QUARTER_MINUTES * (sign === '-' ? -1 : 1);
  const start = DateTime.fromMillis(parseInt(at, 36) * 60_000, { zone: FixedOffsetZone.instance(offset) });
  const end = start.plus({ minutes: Number(minutes) });
  const iso = (time: DateTime): string | null => time.toISO({ suppressMilliseconds: true });
  const [startIso, endIso] = [iso(start), iso(end)];
  return startIso && endIso ? { bay, start: startIso, end: endIso, ...(person && { person }) } : undefined;
}

/**
 * The data of a staff button: `s:REQUEST:REVISION:ACTION`, with `@REASON` after decline and cancel and
 * `@BAY@START@MINUTES@PERSON` after offer-time and move. A reason is an id without blanks, not a sentence. A person
 * whose id leaves no room is left out; the bay is taken all the same.
 * Throws a RangeError where the result would not fit a button, which is a fault in the identifiers.
 */
export function staffActionData(action: TappedAction): string {
  const head = `s:${action.requestId}:${action.revision}:${action.do}`;
  const argument = 'slot' in action ? slotToData(action.slot) : 'because' in action ? action.because : '';
  const data = argument ? `${head}@${argument}` : head;
  if ('slot' in action && action.slot.person !== undefined && data.length > BUTTON_DATA_BYTES) {
    const { person: _tooLong, ...slot } = action.slot;
    return staffActionData({ ...action, slot });
  }
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
