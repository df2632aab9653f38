import type {
  Block,
  BookingRequest,
  Button,
  ChannelName,
  FollowUp,
  Instant,
  IsoDate,
  Owner,
  RequestState,
  ServiceId,
  Vehicle,
  Zone,
} from '../../core/mod.ts';
import type { ChangeKind, CodePurpose } from './store-types.ts';

/** Who a page shows: name and phone where they were given. */
export type OwnerInBrief = Pick<Owner, 'id' | 'name' | 'phone' | 'language' | 'zone' | 'channel'> & {
  /** Whether reminders were agreed to. */
  consented: boolean;
  optedOut: boolean;
  unreachable: boolean;
};

export interface RequestView {
  request: BookingRequest;
  owner: OwnerInBrief;
}

export interface FollowUpView {
  followUp: FollowUp;
  owner: OwnerInBrief;
  /** The truck it is about, where there is one. */
  vehicle: Vehicle | null;
}

export interface VehicleView {
  vehicle: Vehicle;
  owner: OwnerInBrief;
  requests: BookingRequest[];
  followUps: FollowUp[];
}

/** One line of a conversation: what the owner wrote, or what was sent. */
export interface TalkLine {
  /** Rises within one conversation; live pages ask for what comes after it. */
  position: number;
  id: string;
  at: Instant;
  from: 'owner' | 'shop';
  text: string;
  buttons: Button[];
  photos: string[];
  askContact: boolean;
  attachment?: { name: string; mediaType: string; content: string };
}

export interface PutOffView {
  vehicleId: string;
  recordId: string;
  date: IsoDate;
  odometerMiles: number;
  service: ServiceId;
  because: string;
  owner: OwnerInBrief;
}

export interface UnreadClause {
  id: string;
  at: Instant;
  text: string;
  asked: string | null;
  label: string | null;
  labelledBy: string | null;
}

export interface ForecastView {
  vehicleId: string;
  at: Instant;
  dueMiles: number;
  /** The due date at 10, 50 and 90 %; null where it lay more than ten years out. */
  p10: IsoDate | null;
  p50: IsoDate | null;
  p90: IsoDate | null;
  readings: { date: IsoDate; miles: number; clusterReset: boolean }[];
}

export interface Change {
  kind: ChangeKind;
  at: Instant;
  ownerId: string | null;
  subject: string;
}

/** What the pages read; nothing here writes, but for a label. */
export interface Views {
  requests(states: readonly RequestState[], limit?: number): Promise<RequestView[]>;
  request(id: string): Promise<RequestView | undefined>;
  /** Requests that hold a bay's time between two instants, in time order. */
  booked(from: Instant, to: Instant): Promise<RequestView[]>;
  /** What blocks bays and people between two instants, in time order; times with the offset of the zone. */
  blocks(from: Instant, to: Instant, zone: Zone): Promise<Block[]>;
  /** Waiting follow-ups due before an instant, the longest due first. */
  due(before: Instant, limit?: number): Promise<FollowUpView[]>;
  /** Owners who cannot be reached by a message any more and whom the shop calls. */
  callList(limit?: number): Promise<FollowUpView[]>;
  vehicle(id: string): Promise<VehicleView | undefined>;
  vehicles(limit?: number, after?: string): Promise<VehicleView[]>;
  putOff(limit?: number): Promise<PutOffView[]>;
  /** Finds trucks and owners by name, phone digits, VIN or id. */
  search(words: string, limit?: number): Promise<VehicleView[]>;
  unread(limit?: number): Promise<UnreadClause[]>;
  labelUnread(id: string, label: string, by: string, at: Instant): Promise<void>;
  /** What was said on both sides, after a position. */
  talk(ownerId: string, after?: number, limit?: number): Promise<TalkLine[]>;
  /** The owner behind an address. */
  ownerAt(channel: ChannelName, address: string): Promise<string | undefined>;
  picture(id: string): Promise<{ ownerId: string; bytes: Uint8Array; mediaType: string } | undefined>;
  /**
   * What changed after a position; `next` is where to go on. Without a position: nothing, and the present one. `more`
   * is set where so much changed that the page does better to read everything anew.
   */
  changesSince(position?: number): Promise<{ changes: Change[]; next: number; more?: boolean }>;
  /** The latest forecasts that were logged, each with all readings of its truck. */
  forecasts(limit: number): Promise<ForecastView[]>;
  /** What the turn answered to a staff action; undefined until it has run. */
  staffAnswer(externalId: string): Promise<{ state: 'done' | 'failed'; answer: string[] } | undefined>;
}

export interface StaffAccount {
  id: string;
  name: string;
  role: string;
}

/** Who may do what. Tokens and codes are drawn here and leave once; only their hashes are kept. */
export interface Access {
  /** Writes the shop's people as flows/shop.yaml names them; who is gone there can sign in no more. */
  syncStaff(people: StaffAccount[], now: Instant): Promise<void>;
  staff(): Promise<StaffAccount[]>;
  /** A code that works once, for one purpose and subject, until it expires. */
  createCode(purpose: CodePurpose, subject: string, now: Instant, minutes: number): Promise<string>;
  /** Uses a sign-in code up and opens a session. */
  signIn(code: string, now: Instant, hours: number): Promise<{ token: string; staff: StaffAccount } | undefined>;
  session(token: string, now: Instant): Promise<StaffAccount | undefined>;
  signOut(token: string): Promise<void>;
  /** Uses a staff-chat code up and makes the chat one of the shop's. */
  linkStaffChat(
    code: string,
    chat: { channel: ChannelName; address: string },
    now: Instant,
  ): Promise<{ linked: true; by: string } | { linked: false }>;
  /** Makes a chat the shop's without a code: from the settings of whoever runs the process. */
  addStaffChat(chat: { channel: ChannelName; address: string }, now: Instant, by: string): Promise<void>;
  isStaffChat(channel: ChannelName, address: string): Promise<boolean>;
}
