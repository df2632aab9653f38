import type {
  Block,
  ChannelName,
  Diary,
  InboxEvent,
  Instant,
  IsoDate,
  Language,
  OwnerFile,
  Reply,
  RequestState,
  Zone,
} from '../../core/mod.ts';
import type { Access, Views } from './page-types.ts';

type WithoutId<T> = T extends unknown ? Omit<T, 'id'> : never;
/** An event as it is kept in the inbox; its id is the row. */
export type StoredEvent = WithoutId<InboxEvent>;

/** The channel under which an inbox row came in: a channel of owners, the staff or the clock. */
export type InboxSource = ChannelName | 'staff' | 'clock';

export interface NewInboxRow {
  source: InboxSource;
  /** Tells duplicates, together with the source. */
  externalId: string;
  ownerId: string;
  /** Where the answer goes, for events of owners and of staff chats. */
  address?: string;
  /** The channel of `address` where the source is not one. */
  answerChannel?: ChannelName;
  event: StoredEvent;
  receivedAt: Instant;
}

export interface WaitingRow {
  seq: number;
  ownerId: string;
  source: InboxSource;
  address: string | null;
  answerChannel: ChannelName | null;
  attempts: number;
  receivedAt: Instant;
  event: InboxEvent;
}

/** What is to be sent, as it waits in the outbox. */
export interface NewOutboxRow {
  inboxSeq: number;
  ordinal: number;
  ownerId: string | null;
  toStaff: boolean;
  channel: ChannelName;
  address: string;
  reply: Pick<Reply, 'text' | 'buttons' | 'askContact' | 'attachment' | 'photos' | 'requestId'>;
  unasked: boolean;
  createdAt: Instant;
}

export interface OutboxRow {
  id: string;
  ownerId: string | null;
  toStaff: boolean;
  channel: ChannelName;
  address: string;
  reply: NewOutboxRow['reply'];
  attempts: number;
  notBefore: Instant | null;
  createdAt: Instant;
}

export type SaveOutcome =
  | { outcome: 'saved' }
  /** The quarter hour is another request's; nothing of the file may be kept. */
  | { outcome: 'taken'; bay: string; quarter: Instant };

/** What of a change the pages are told. */
export interface NewChange {
  at: Instant;
  kind: ChangeKind;
  ownerId: string | null;
  subject: string;
}
export const CHANGE_KINDS = ['request', 'vehicle', 'follow-up', 'owner', 'message', 'unread', 'block'] as const;
export type ChangeKind = (typeof CHANGE_KINDS)[number];

export interface NewOwner {
  id: string;
  channel: ChannelName;
  /** Null for somebody who does not chat: the shop entered them. */
  address: string | null;
  language: Language;
  zone: Zone;
  at: Instant;
}

export interface NewMedia {
  id: string;
  ownerId: string;
  channel: ChannelName;
  at: Instant;
  content: { fileId: string } | { bytes: Uint8Array; mediaType: string } | 'refused';
}

/**
 * Everything that may be done inside one transaction. It is the only handle that reaches the database there: the store
 * itself must not be used until the transaction has ended, or SQLite's one connection waits for itself.
 */
export interface StoreTransaction {
  /** Runs the work behind a savepoint; when it throws, or answers `keep: false`, nothing of it remains. */
  savepoint<T>(work: () => Promise<{ keep: boolean; value: T }>): Promise<T>;

  /** Takes the owners' locks, in one order, waiting for them. Locks end with the transaction. */
  lockOwners(ownerIds: string[]): Promise<void>;
  /**
   * Rows that may run now, in order, with their owners' locks: for each owner none behind one that has to wait, and none
   * of owners that another process works on. Of what owners did themselves at most `owners` rows; the rest waits as it is.
   */
  takeWaiting(now: Instant, limit: number, owners?: number): Promise<WaitingRow[]>;
  /** Adds rows; one that is there already changes nothing. Answers the row of each, with whether it is new. */
  addToInbox(rows: NewInboxRow[]): Promise<{ seq: number; isNew: boolean }[]>;
  inboxDone(seq: number, at: Instant, answer?: string[]): Promise<void>;
  /** Leaves the row, and what its owner wrote after it, for later, without counting an attempt. */
  inboxLater(seq: number, notBefore: Instant): Promise<void>;
  inboxRetry(seq: number, notBefore: Instant, error: string): Promise<void>;
  inboxFailed(seq: number, at: Instant, error: string): Promise<void>;

  ownersAt(addresses: { channel: ChannelName; address: string }[]): Promise<(string | undefined)[]>;
  addOwner(owner: NewOwner): Promise<string>;
  /** Points an address at another owner, and moves what the former one gathered there. */
  mergeAddress(link: { channel: ChannelName; address: string }, intoOwnerId: string, at: Instant): Promise<void>;
  /** Where the owner is reached: on the channel given, the address that was linked last. */
  addressOf(ownerId: string, channel: ChannelName): Promise<string | undefined>;
  loadFile(ownerId: string): Promise<OwnerFile | undefined>;
  /** Writes only what differs, the claims of held requests included. */
  saveFile(before: OwnerFile, after: OwnerFile): Promise<SaveOutcome>;
  /** Every request, block and held time between two days, with whose it is. */
  loadDiary(from: IsoDate, to: IsoDate, zone: Zone, now: Instant): Promise<Diary>;
  /**
   * Takes a bay or person out of the diary. Where a job or a held time stands in the way nothing is kept, and the
   * holders of those quarter hours are named.
   */
  addBlock(block: Block): Promise<{ outcome: 'saved' } | { outcome: 'taken'; holders: string[] }>;
  /** Gives the bay or person back; false where there is no such block. */
  endBlock(id: string): Promise<boolean>;
  /**
   * Removes the person, in the turn of the inbox row given. What the same address wrote after that row waits for a new
   * owner.
   */
  forgetOwner(ownerId: string, seq: number, at: Instant): Promise<void>;

  addMessage(message: StoredMessage & { ownerId: string }): Promise<void>;
  addMedia(media: NewMedia[]): Promise<void>;
  addToOutbox(rows: NewOutboxRow[]): Promise<void>;
  /** One message to a staff chat that no turn decided, once for its external id. */
  addNotice(notice: {
    externalId: string;
    channel: ChannelName;
    address: string;
    text: string;
    at: Instant;
  }): Promise<void>;
  staffChats(): Promise<{ channel: ChannelName; address: string }[]>;
  /** Keeps the hash of a code that works once, for the purpose and subject, for so many minutes. */
  addCode(purpose: CodePurpose, code: string, subject: string, now: Instant, minutes: number): Promise<void>;
  useCode(purpose: CodePurpose, code: string, now: Instant): Promise<string | undefined>;
  addUnread(rows: { id: string; ownerId: string; at: Instant; text: string; asked?: string }[]): Promise<void>;
  addForecast(row: {
    id: string;
    vehicleId: string;
    at: Instant;
    dueMiles: number;
    p10: string | null;
    p50: string | null;
    p90: string | null;
  }): Promise<void>;
  addChanges(changes: NewChange[]): Promise<void>;

  /**
   * The first waiting message of each address on these channels, oldest first. An address whose first one has to wait has none, and so
   * has one that `passOver` names.
   */
  outboxHeads(
    channels: readonly ChannelName[],
    now: Instant,
    limit: number,
    passOver: (channel: string, address: string) => boolean,
  ): Promise<OutboxRow[]>;
  outboxSent(id: string, at: Instant, externalMessageId?: string): Promise<void>;
  outboxLater(id: string, notBefore: Instant, because: string, counts: boolean): Promise<void>;
  outboxRefused(id: string, at: Instant, because: string): Promise<void>;
  /** Ends every waiting message to the address. */
  outboxUnreachable(channel: ChannelName, address: string, at: Instant, because: string): Promise<void>;
  moveAddress(channel: ChannelName, from: string, to: string): Promise<void>;
  markUnreachable(ownerId: string, at: Instant): Promise<void>;
  unlinkStaffChat(channel: ChannelName, address: string): Promise<void>;

  /** Waiting follow-ups whose time has come, the longest due first, behind the one given. */
  dueFollowUps(now: Instant, limit: number, behind?: Pick<DueFollowUp, 'dueAt' | 'id'>): Promise<DueFollowUp[]>;
  followUp(id: string): Promise<DueFollowUp | undefined>;
  /** Takes or renews a named lease; false while another holder's runs. */
  takeLease(name: string, holder: string, now: Instant, until: Instant): Promise<boolean>;
  dropLease(name: string, holder: string): Promise<void>;
  prune(limits: Retention): Promise<Record<string, number>>;
  setting(name: string): Promise<unknown>;
  saveSetting(name: string, value: unknown): Promise<void>;

  expectedMedia(channel: ChannelName, now: Instant, limit: number): Promise<ExpectedMedia[]>;
  mediaStored(id: string, bytes: Uint8Array, mediaType: string): Promise<void>;
  mediaLater(id: string, notBefore: Instant): Promise<void>;
  /** Answers whose picture it was. */
  mediaRefused(id: string, because: string): Promise<string | undefined>;
  mediaBytes(ids: string[]): Promise<{ id: string; state: MediaState; bytes?: Uint8Array; mediaType?: string }[]>;
}

export const MEDIA_STATES = ['expected', 'stored', 'refused'] as const;
export type MediaState = (typeof MEDIA_STATES)[number];
export interface ExpectedMedia {
  id: string;
  channel: ChannelName;
  fileId: string;
  attempts: number;
}

export interface StoredMessage {
  id: string;
  at: Instant;
  channel: ChannelName;
  address: string;
  kind: 'message' | 'edit' | 'button' | 'contact' | 'unreadable' | 'opened';
  text: string;
  photos: string[];
  messageRef?: string;
}

export interface DueFollowUp {
  id: string;
  ownerId: string;
  attempts: number;
  dueAt: Instant;
}

/** What retention removes: everything of its kind that is older than the instant. */
export interface Retention {
  now: Instant;
  inboxBefore: Instant;
  messagesBefore: Instant;
  outboxBefore: Instant;
  mediaBefore: Instant;
  unreadBefore: Instant;
  changesBefore: Instant;
}

export type CodePurpose = 'sign-in' | 'staff-chat' | 'owner-channel';

export interface Figures {
  inboxWaiting: number;
  inboxOldest: Instant | null;
  inboxFailed: number;
  outboxWaiting: number;
  outboxOldest: Instant | null;
  followUpsDue: number;
  /** Of these the ones that were due an hour ago or longer: nothing works on them. */
  followUpsLate: number;
  owners: number;
  requests: Partial<Record<RequestState, number>>;
}

/** One shop's database. All writing happens inside `transaction`. */
export interface Store {
  readonly family: 'sqlite' | 'postgres';
  /** Runs the work in one transaction: committed when it resolves, rolled back when it throws. */
  transaction<T>(work: (tx: StoreTransaction) => Promise<T>): Promise<T>;
  /** What the pages read. */
  readonly views: Views;
  /** Sign-in, sessions, staff chats and other codes. */
  readonly access: Access;
  /** The figures that whoever runs the shop's process watches. */
  figures(now: Instant): Promise<Figures>;
  /** Writes every table and picture into a folder; answers how many rows of each. On SQLite nobody writes meanwhile. */
  exportTo(folder: string): Promise<Record<string, number>>;
  close(): Promise<void>;
}
