import type { Diary, Slot } from './booking.ts';
import type { ServiceId } from './ids.ts';
import type { ChannelName, Finding, OwnerFile } from './owner.ts';
import type { Instant, IsoDate } from './time.ts';

export interface StaffMember {
  id: string;
  name: string;
}

/** What staff do with a request; `revision` is the one they saw. */
export type StaffAction =
  | { do: 'accept'; requestId: string; revision: number }
  | { do: 'decline'; requestId: string; revision: number; because: string }
  | { do: 'offer-time'; requestId: string; revision: number; slot: Slot }
  /** Ask the assistant for the next free times, to offer one of them. */
  | { do: 'list-times'; requestId: string; revision: number }
  | { do: 'move'; requestId: string; revision: number; slot: Slot }
  | { do: 'cancel'; requestId: string; revision: number; because: string }
  | { do: 'arrive' | 'start-work' | 'no-show'; requestId: string; revision: number }
  | { do: 'call'; requestId: string; revision: number }
  | { do: 'close'; requestId: string; revision: number; report: CloseReport }
  | { do: 'say'; text: string };

/** What was done and found when the work was closed. */
export interface CloseReport {
  date: IsoDate;
  odometerMiles: number;
  services: ServiceId[];
  findings: Finding[];
  putOff: { service: ServiceId; because: string }[];
  note?: string;
}

interface EventBase {
  /** The inbox row; everything that the turn creates is named after it. */
  id: string;
  /** When it happened, by the sender's clock: wording such as "tomorrow" resolves against it. */
  at: Instant;
}

/** Owner messages, staff actions and the clock: one inbox, each addressed to an owner. */
export type InboxEvent = EventBase &
  (
    | {
        kind: 'message';
        channel: ChannelName;
        messageRef: string;
        text: string;
        photos?: string[];
        /** Pictures sent together arrive as one message each, all with the same album: one answer is enough. */
        album?: string;
        language?: string;
      }
    | { kind: 'edit'; channel: ChannelName; messageRef: string; text: string }
    /** A button: `q:QUESTION:OPTION`, at most 64 bytes. */
    | { kind: 'button'; channel: ChannelName; data: string }
    | { kind: 'contact'; channel: ChannelName; phone: string; name?: string }
    | {
        kind: 'unreadable';
        channel: ChannelName;
        what: 'sticker' | 'voice' | 'document' | 'location' | 'photo' | 'other';
      }
    /** The owner opened the chat; `payload` is what a link or QR code carried. */
    | { kind: 'opened'; channel: ChannelName; payload?: string }
    | { kind: 'unreachable'; channel: ChannelName; because: string }
    | { kind: 'staff'; by: StaffMember; action: StaffAction }
    | { kind: 'time'; followUpId: string }
  );

export interface Button {
  label: string;
  /** What comes back when it is pressed, at most 64 bytes. */
  data: string;
}

/** One message to somebody, the same on every channel. */
export interface Reply {
  to: 'owner' | 'staff';
  text: string;
  buttons: Button[];
  /** Offer the channel's own way to share a phone number. */
  askContact?: boolean;
  attachment?: { name: string; mediaType: string; content: string };
  photos?: string[];
  /** True for a message that the owner did not ask for; counted and kept within hours. */
  unasked?: boolean;
  requestId?: string;
}

/** What happens beside the owner's own file. */
export type Effect =
  | { do: 'keep-unread'; clauses: string[]; asked?: string }
  | { do: 'forget-owner' }
  | {
      do: 'log-forecast';
      vehicleId: string;
      at: Instant;
      dueMiles: number;
      p10: string | null;
      p50: string | null;
      p90: string | null;
    }
  | { do: 'answer-staff'; text: string }
  /** Send a one-time code that joins another channel to this owner. */
  | { do: 'offer-link'; code: string };

export type Need = { need: 'diary'; from: IsoDate; to: IsoDate };

/** What the desk loaded for a turn. */
export interface Known {
  file: OwnerFile;
  /** Fresh and unguessable, for a one-time code; chance comes in as a value. */
  token?: string;
  diary?: Diary;
}

export type TurnResult =
  { done: true; next: OwnerFile; replies: Reply[]; effects: Effect[]; trace: string[] } | { done: false; need: Need };
