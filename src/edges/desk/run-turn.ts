import type {
  Diary,
  Effect,
  Instant,
  InboxEvent,
  IsoDate,
  Known,
  OwnerFile,
  Reply,
  TurnResult,
  Zone,
} from '../../core/mod.ts';
import type { NewChange, NewOutboxRow, StoreTransaction, WaitingRow } from '../store/types.ts';

/** The core's turn, over whatever the flows are. */
export type Turn<Flows> = (known: Known, event: InboxEvent, flows: Flows, now: Instant) => TurnResult;

export interface TurnSettings<Flows> {
  turn: Turn<Flows>;
  flows: Flows;
  /** The shop's zone, in which the diary's days are counted. */
  zone: Zone;
  newToken: () => string;
}

/** A fault of the turn itself, told from the machine's by its code. */
export class TurnFault extends Error {
  readonly code: 'needs-too-much' | 'slot-taken' | 'no-owner';
  constructor(code: TurnFault['code']) {
    super(code);
    this.name = 'TurnFault';
    this.code = code;
  }
}

/** How long a code that joins another channel can be used. */
const LINK_MINUTES = 60;
const NEEDS = 2;
const TRIES = 3;
const DAY_MILLISECONDS = 86_400_000;
const DIARY_DAYS = 400;

/**
 * One turn inside the caller's transaction: load, decide, save, put the replies out, mark the row done. Where another
 * request took the quarter hour meanwhile, nothing is kept and the turn decides again with the diary as it is now.
 *
 * Answers `forgotten` where the owner is one no more: rows read before are not to be run for them.
 *
 * @throws TurnFault or whatever the turn or the database throws; the caller's savepoint then takes everything back
 */
export async function runTurn<Flows>(
  tx: StoreTransaction,
  settings: TurnSettings<Flows>,
  row: WaitingRow,
  now: Instant,
): Promise<'done' | 'forgotten'> {
  for (let attempt = 1; attempt <= TRIES; attempt++) {
    const outcome = await tx.savepoint(async () => {
      // The turn that was refused a quarter hour did not look at the diary: the next one is given it unasked.
      const diary = attempt > 1 ? await wholeDiary(tx, settings.zone, now) : undefined;
      const value = await attemptTurn(tx, settings, row, now, diary);
      return { keep: value !== 'taken', value };
    });
    if (outcome !== 'taken') return outcome;
  }
  throw new TurnFault('slot-taken');
}

/** Everything that is held from today on for longer than any shop books ahead. */
function wholeDiary(tx: StoreTransaction, zone: Zone, now: Instant): Promise<Diary> {
  const day = (milliseconds: number): IsoDate => new Date(milliseconds).toISOString().slice(0, 10);
  const at = Date.parse(now);
  return tx.loadDiary(day(at - DAY_MILLISECONDS), day(at + DIARY_DAYS * DAY_MILLISECONDS), zone, now);
}

async function attemptTurn<Flows>(
  tx: StoreTransaction,
  { turn, flows, zone, newToken }: TurnSettings<Flows>,
  row: WaitingRow,
  now: Instant,
  diary: Diary | undefined,
): Promise<'done' | 'taken' | 'forgotten'> {
  const file = await tx.loadFile(row.ownerId);
  if (!file) throw new TurnFault('no-owner');

  let known: Known = { file, token: newToken(), ...(diary && { diary }) };
  let result = turn(known, row.event, flows, now);
  for (let asked = 0; !result.done; asked++) {
    if (asked >= NEEDS) throw new TurnFault('needs-too-much');
    known = { ...known, diary: await tx.loadDiary(result.need.from, result.need.to, zone, now) };
    result = turn(known, row.event, flows, now);
  }

  const next = withUnasked(file, result.next, result.replies, now);
  const saved = await tx.saveFile(file, next);
  if (saved.outcome === 'taken') return 'taken';
  await keepWords(tx, row);
  const answers = await apply(tx, row, result.effects, now);
  await putOut(tx, row, next, result.replies, answers, forgets(result.effects), now);
  await tx.addChanges(changesOf(file, next, row, now));
  await tx.inboxDone(row.seq, now, answers);
  return forgets(result.effects) ? 'forgotten' : 'done';
}

const forgets = (effects: Effect[]): boolean => effects.some((effect) => effect.do === 'forget-owner');

/** Every unasked message is counted, whether the turn did so itself or leaves it to the desk. */
function withUnasked(before: OwnerFile, after: OwnerFile, replies: Reply[], now: Instant): OwnerFile {
  const sent = replies.filter((reply) => reply.to === 'owner' && reply.unasked).length;
  const counted = after.unaskedAt.filter((at) => !before.unaskedAt.includes(at)).length;
  if (sent <= counted) return after;
  return { ...after, unaskedAt: [...after.unaskedAt, ...Array.from({ length: sent - counted }, () => now)] };
}

/** The owner's own words, kept for the conversation's page and removed by retention or on demand. */
export async function keepWords(tx: StoreTransaction, { event, ownerId, source, address }: WaitingRow): Promise<void> {
  if (source === 'staff' || source === 'clock' || address === null) return;
  const base = { id: event.id, ownerId, at: event.at, channel: source, address };
  switch (event.kind) {
    case 'message':
      await tx.addMessage({
        ...base,
        kind: 'message',
        text: event.text,
        photos: event.photos ?? [],
        messageRef: event.messageRef,
      });
      break;
    case 'edit':
      await tx.addMessage({ ...base, kind: 'edit', text: event.text, photos: [], messageRef: event.messageRef });
      break;
    case 'button':
      await tx.addMessage({ ...base, kind: 'button', text: event.data, photos: [] });
      break;
    case 'contact':
      await tx.addMessage({ ...base, kind: 'contact', text: event.phone, photos: [] });
      break;
    case 'unreadable':
      await tx.addMessage({ ...base, kind: 'unreadable', text: event.what, photos: [] });
      break;
    case 'opened':
    case 'unreachable':
    case 'staff':
    case 'time':
      break;
    default:
      event satisfies never;
  }
}

/** Carries out what the turn decided beside the owner's own file; answers what the acting staff member is told. */
async function apply(tx: StoreTransaction, row: WaitingRow, effects: Effect[], now: Instant): Promise<string[]> {
  const answers: string[] = [];
  let ordinal = 0;
  for (const effect of effects) {
    const id = `${row.event.id}-e${ordinal++}`;
    switch (effect.do) {
      case 'keep-unread':
        await tx.addUnread(
          effect.clauses.map((text, index) => ({
            id: `${id}-${index}`,
            ownerId: row.ownerId,
            at: now,
            text,
            ...(effect.asked !== undefined && { asked: effect.asked }),
          })),
        );
        break;
      case 'log-forecast': {
        const { vehicleId, at, dueMiles, p10, p50, p90 } = effect;
        await tx.addForecast({ id, vehicleId, at, dueMiles, p10, p50, p90 });
        break;
      }
      case 'answer-staff':
        answers.push(effect.text);
        break;
      case 'offer-link':
        await tx.addCode('owner-channel', effect.code, row.ownerId, now, LINK_MINUTES);
        break;
      case 'forget-owner':
        // After everything else, so that nothing of this turn stays behind.
        break;
      default:
        effect satisfies never;
    }
  }
  if (forgets(effects)) await tx.forgetOwner(row.ownerId, row.seq, now);
  return answers;
}

async function putOut(
  tx: StoreTransaction,
  row: WaitingRow,
  next: OwnerFile,
  replies: Reply[],
  answers: string[],
  forgotten: boolean,
  now: Instant,
): Promise<void> {
  const rows: NewOutboxRow[] = [];
  const base = { inboxSeq: row.seq, createdAt: now, ownerId: forgotten ? null : row.ownerId };
  const toOwner = replies.some(({ to }) => to === 'owner') ? await ownerAddress(tx, row, next) : undefined;
  const chats = replies.some(({ to }) => to === 'staff') ? await tx.staffChats() : [];
  const add = (
    reply: NewOutboxRow['reply'],
    to: Pick<NewOutboxRow, 'channel' | 'address'>,
    toStaff: boolean,
    unasked: boolean,
  ) => rows.push({ ...base, ...to, reply, toStaff, unasked, ordinal: rows.length });

  for (const { to, unasked, ...reply } of replies) {
    if (to === 'staff') for (const chat of chats) add(reply, chat, true, false);
    else if (toOwner) add(reply, toOwner, false, unasked ?? false);
  }
  if (row.source === 'staff' && row.address !== null && row.answerChannel !== null) {
    const chat = { channel: row.answerChannel, address: row.address };
    for (const text of answers) add({ text, buttons: [] }, chat, true, false);
  }
  await tx.addToOutbox(rows);
}

/** An owner is answered where they wrote; staff and the clock reach them on their channel's latest address. */
async function ownerAddress(tx: StoreTransaction, row: WaitingRow, next: OwnerFile) {
  if (row.source !== 'staff' && row.source !== 'clock' && row.address !== null) {
    return { channel: row.source, address: row.address };
  }
  const { channel, id } = next.owner;
  const address = await tx.addressOf(id, channel);
  return address === undefined ? undefined : { channel, address };
}

/** What of this turn the shop's pages show. */
function changesOf(before: OwnerFile, after: OwnerFile, row: WaitingRow, at: Instant): NewChange[] {
  const ownerId = row.ownerId;
  const changed = <T extends { id: string }>(kind: NewChange['kind'], old: T[], now: T[]): NewChange[] => {
    if (old === now) return [];
    const had = new Map(old.map((item) => [item.id, item]));
    return now.filter((item) => had.get(item.id) !== item).map(({ id }) => ({ at, kind, ownerId, subject: id }));
  };
  return [
    ...changed('request', before.requests, after.requests),
    ...changed('vehicle', before.vehicles, after.vehicles),
    ...changed('follow-up', before.followUps, after.followUps),
    ...(before.owner === after.owner ? [] : [{ at, kind: 'owner' as const, ownerId, subject: ownerId }]),
    { at, kind: 'message', ownerId, subject: row.event.id },
  ];
}
