import type { Diary, Slot } from './booking.ts';
import type { Facts } from './facts.ts';
import type { ServiceId } from './ids.ts';
import type {
  ApprovalWay,
  ArrivalNote,
  ChannelName,
  Finding,
  OwnerFile,
  Papers,
  WorkDetails,
  WorkItem,
} from './owner.ts';
import type { Instant, IsoDate, Zone } from './time.ts';

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
  | { do: 'arrive'; requestId: string; revision: number; arrival?: ArrivalNote }
  /** Takes down, or corrects, what is known of the truck as it stands here. */
  | { do: 'record-arrival'; requestId: string; revision: number; arrival: ArrivalNote }
  | { do: 'start-work' | 'no-show'; requestId: string; revision: number }
  /** The work takes so many working hours more; the slot ends later. */
  | { do: 'lengthen'; requestId: string; revision: number; hours: number }
  /** More work was found: the one who approves is asked. */
  | { do: 'ask-approval'; requestId: string; revision: number; items: WorkItem[]; because?: string }
  /** What the one who approves said outside the chat. `items` are places in the list that was asked, from 0. */
  | {
      do: 'record-approval';
      requestId: string;
      revision: number;
      answer: 'yes' | 'no' | 'in-part';
      items: number[];
      who: string;
      how: Exclude<ApprovalWay, 'chat'>;
    }
  /** The owner was phoned about metal in the fuel; the assistant may write now. */
  | { do: 'phoned'; requestId: string; revision: number }
  | { do: 'call'; requestId: string; revision: number }
  /** Somebody phoned or walked in: their truck and its job, entered by staff, booked at once. */
  | { do: 'enter'; entry: Entry }
  | { do: 'keep-papers'; vehicleId: string; papers: Papers }
  | { do: 'close'; requestId: string; revision: number; report: CloseReport }
  | { do: 'say'; text: string };

/** What staff enter for somebody who phoned or walked in. */
export interface Entry {
  name: string;
  phone: string;
  /** What is known of the truck. */
  facts: Facts;
  services: ServiceId[];
  slot: Slot | null;
  /** What is wrong, in the owner's words; empty where nothing is. */
  complaint: string;
  papers?: Papers;
}

/** What was done and found when the work was closed. */
export interface CloseReport extends WorkDetails {
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
  /** The zone that the sender's device is in, where the channel tells it; the owner's from then on. */
  zone?: Zone;
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
  /** A file to keep, or, with `toLookAt`, a picture that is shown where the channel can. */
  attachment?: { name: string; mediaType: string; content: string; toLookAt?: boolean };
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
