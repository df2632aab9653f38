import type {
  Button,
  ChannelName,
  Diary,
  Effect,
  InboxEvent,
  Instant,
  IsoDate,
  OwnerFile,
  Reply,
  StaffAction,
  StaffMember,
} from '../../core/mod.ts';

/** A picture that came with a message. The bytes are fetched after the message is safe in the inbox. */
export interface IncomingPhoto {
  /** Unique, from the channel: named before the bytes are there. */
  mediaId: string;
  /** Where the channel fetches it from (a Bot API file id), or the bytes themselves. */
  source: { fileId: string } | { bytes: Uint8Array };
}

type WithoutId<T> = T extends unknown ? Omit<T, 'id' | 'photos'> : never;

/** What a channel hands over: who wrote (an address on that channel), the id that tells duplicates, and the event. */
export interface Incoming {
  channel: ChannelName;
  /** The chat or session; the desk finds or creates the owner behind it. */
  address: string;
  /** Unique for the channel and its bot: a second arrival of the same one changes nothing. */
  externalId: string;
  event: WithoutId<Extract<InboxEvent, { channel: ChannelName }>>;
  photos?: IncomingPhoto[];
  /** The sender's zone and language as the channel knows them. */
  zone?: string;
  language?: string;
}

/** A staff action, from the staff chat or the counter page. */
export interface IncomingStaff {
  externalId: string;
  ownerId: string;
  at: Instant;
  by: StaffMember;
  action: StaffAction;
  /** The staff chat that acted: what the turn answers goes there. Absent for the counter page, which waits for it. */
  answerTo?: { channel: ChannelName; address: string };
}

/** One message on its way out. */
export interface Outgoing {
  id: string;
  channel: ChannelName;
  address: string;
  text: string;
  buttons: Button[];
  askContact: boolean;
  attachment?: { name: string; mediaType: string; content: string; toLookAt?: boolean | undefined };
  /** Pictures to send along, already loaded. */
  photos: { mediaId: string; bytes: Uint8Array; mediaType: string }[];
}

/** What became of one delivery; every refusal that can be foreseen is a value. */
export type Delivery =
  | { outcome: 'sent'; externalMessageId?: string }
  /** Try again, not before this many seconds. */
  | { outcome: 'later'; afterSeconds: number; because: string }
  /** The chat is closed for good (blocked, deleted): stop, and mark the owner unreachable. */
  | { outcome: 'unreachable'; because: string }
  /** The chat has a new address: keep it and send there. */
  | { outcome: 'moved'; address: string }
  /** This message can never be delivered; the fault is ours or the message's. */
  | { outcome: 'refused'; because: string };

/** Where a channel puts what arrives. Resolves when it is durable. */
export type Receive = (incoming: Incoming[]) => Promise<void>;

/** One way to talk with owners. All implementations pass one contract suite. */
export interface Channel {
  readonly name: ChannelName;
  /** Begins to take messages; each batch is durable in the inbox before the channel acknowledges it to the other side. */
  start(receive: Receive): Promise<void>;
  deliver(message: Outgoing): Promise<Delivery>;
  /** Stops taking messages and resolves when nothing is under way. */
  stop(): Promise<void>;
}

/** The part of a structured logger that the edges use. Personal data and tokens never go in. */
export interface Log {
  info(fields: Record<string, unknown>, message: string): void;
  warn(fields: Record<string, unknown>, message: string): void;
  error(fields: Record<string, unknown>, message: string): void;
}

export type { Diary, Effect, InboxEvent, Instant, IsoDate, OwnerFile, Reply };
export type * from './store-types.ts';
export type * from './page-types.ts';
