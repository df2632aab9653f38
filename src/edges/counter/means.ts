import type {
  BookingRequest,
  CalibrationRow,
  ChannelName,
  Entry,
  FactRecord,
  Facts,
  Flows,
  FollowUp,
  InboxEvent,
  Instant,
  Outlook,
  ServiceId,
  Slot,
  StaffAction,
  Vehicle,
} from '../../core/mod.ts';
import type { Html } from './html.ts';
import type { IncomingStaff, Log, Store } from '../store/types.ts';

/** What the pages need of the rest of the shop; main.ts hands it in. */
export interface Means {
  store: Store;
  flows: Flows;
  now: () => Instant;
  log: Log;
  web: OwnersPage;
  askStaff(action: IncomingStaff): Promise<{ outcome: 'done' | 'failed'; answer: string[] } | { outcome: 'not-yet' }>;
  /** Where links to these pages begin, without a closing slash. */
  address: () => string;
  /** What is said in words of a truck and of what is wrong with it, as facts that are sure. */
  factsSaid(said: { truck: string; complaint: string }): Facts;
  /** The owner that somebody who phoned or walked in is: by the phone number, or a new one without a chat. */
  ownerOfEntry(entry: Entry, externalId: string): Promise<string>;
  /** Keeps a picture of a truck's work, made smaller and without where it was taken. */
  keepPhoto(ownerId: string, bytes: Uint8Array): Promise<{ ok: true; id: string } | { ok: false; because: Picture }>;
  /** How the logged forecasts met what came, all of them and by the number of readings. */
  calibration(): Promise<CalibrationRow[]>;
  /** A link that opens the owner's own chat, with what `start` carries. */
  chatLink(owner: { channel: ChannelName }, start: string): string;
  secureCookies: boolean;
  serviceName(id: ServiceId): string;
  allServices(): ServiceId[];
  /** Engine family, pump and fitting data of a truck, a line each, for the shop. */
  familyWords(facts: readonly FactRecord[]): string[];
  /** Free times for a request, the wanted ones first. */
  timesFor(request: BookingRequest): Promise<Slot[]>;
  /** The mileage forecast as a picture. */
  forecastPicture(view: { vehicle: Vehicle; followUps: FollowUp[] }): Html | null;
  /** When the fuel filter is due again: miles, a day, or both, whichever comes first. */
  filterDue(vehicle: Vehicle): { miles: number | null; date: string | null } | null;
  outlook(view: { vehicle: Vehicle; followUps: FollowUp[] }): Outlook | null;
  /** Present in the demo only: moves the clock on by so many days, and does what has fallen due on the way. */
  demo?: { moveOn(days: number): Promise<Instant> };
  /** Whether the database takes writes; asked by whoever sends people here. */
  ready(): Promise<boolean>;
  /** The figures of the process for whoever runs it; given to the machine itself, or to whoever knows the token. */
  metrics: { text(): Promise<{ type: string; body: string }>; token?: string };
  /** The Bot API posts here, where a webhook is used. */
  telegram?: (request: { secret: unknown; body: unknown }) => Promise<number>;
}

type Picture = 'too-large' | 'not-a-picture' | 'broken';

/** The part of the web channel that the owner's page uses. */
export interface OwnersPage {
  post(post: {
    address: string;
    postId: string;
    at: Instant;
    zone?: string;
    language?: string;
    did:
      | { kind: 'message'; text: string; photos?: Uint8Array[] }
      | { kind: 'edit'; messageRef: string; text: string }
      | { kind: 'button'; data: string }
      | { kind: 'opened'; payload?: string };
  }): Promise<
    | { ok: true; messageRef: string }
    | { ok: false; because: 'empty' | 'bad-button' | 'too-many-photos' | 'stopped' }
    | { ok: false; because: 'photo'; photo: number; reason: Picture }
  >;
  subscribe(address: string, onNews: () => void): () => void;
}

export type { InboxEvent, StaffAction };
