import { z } from 'zod';
import { StoredEntry } from './follow-up-log.ts';
import {
  APPROVAL_WAYS,
  CAUTIONS,
  CHANNELS,
  FINDING_PLACES,
  SYMPTOMS,
  FACT_KEYS,
  FACT_SOURCES,
  REQUEST_STATES,
  SERVICES,
  URGENCIES,
  WantedTime,
  type BookingRequest,
  type Conversation,
  type FactKey,
  type FollowUp,
  type Papers,
  type ServiceRecord,
} from '../../core/mod.ts';
import { StoreFault } from './fault.ts';

/** What stands in the database as JSON, checked when it is read: an older release or a hand may have written it. */

const service = z.enum(SERVICES);
const range = z.looseObject({ low: z.number(), high: z.number() });
const factKey = z.enum(FACT_KEYS as [FactKey, ...FactKey[]]);
const factValue = z.union([z.string(), z.number(), z.boolean(), z.array(z.string())]);
const slot = z.looseObject({ bay: z.string(), start: z.string(), end: z.string(), person: z.string().optional() });

export const FactValue = factValue as unknown as z.ZodType<BookingRequest['facts'][number]['value']>;
export const Unknowable = z.array(factKey);
export const Strings = z.array(z.string());

const factRecord = z.looseObject({
  key: factKey,
  value: FactValue,
  words: z.string().optional(),
  source: z.enum(FACT_SOURCES),
  sure: z.boolean(),
  at: z.string(),
  messageRef: z.string().optional(),
});

const advice = z.looseObject({
  urgency: z.enum(URGENCIES),
  services: z.array(
    z.looseObject({ id: service, because: z.array(z.string()), rules: z.array(z.string()), labourHours: range }),
  ),
  bundle: z.looseObject({ labourHours: range, savedHours: range }),
  cautions: z.array(z.looseObject({ id: z.enum(CAUTIONS), text: z.string() })),
  stillUnknown: z.array(z.looseObject({ fact: factKey, couldChange: z.array(z.string()) })),
  notAdvised: z.array(z.looseObject({ id: service, because: z.string() })),
  doNow: z.array(z.string()),
  notes: z.array(z.string()),
  shopNotes: z.array(z.string()),
  dueAt: z.array(z.looseObject({ id: service, miles: z.number() })),
  dangers: z.array(z.enum(SYMPTOMS)),
  families: z.array(z.string()),
});

const estimate = z.looseObject({
  labourHours: range,
  parts: range,
  total: range,
  currency: z.literal('USD'),
  lines: z.array(z.looseObject({ service, text: z.string(), labourHours: range, parts: range })),
  leftOut: z.array(z.string()),
  diagnosisOnly: z.boolean().optional(),
  breakEven: z
    .object({ installedCost: range, avoidedCost: range, paysAboveChance: range, text: z.string() })
    .optional(),
});

const somebody = z.looseObject({ name: z.string(), phone: z.string().optional() });
export const StoredPapers = z.looseObject({
  unit: z.string().optional(),
  driver: somebody.optional(),
  approver: somebody.optional(),
  payer: somebody.optional(),
  purchaseOrder: z.string().optional(),
}) as unknown as z.ZodType<Papers>;

const arrival = z.looseObject({
  at: z.string(),
  by: z.string(),
  odometerMiles: z.number().optional(),
  odometerPhoto: z.string().optional(),
  damage: z.string().optional(),
  keys: z.string().optional(),
  diagnosisLimit: z.looseObject({ dollars: z.number(), signedBy: z.string() }).optional(),
  oldPartsWanted: z.boolean().optional(),
});

const moreWork = z.looseObject({
  id: z.string(),
  askedAt: z.string(),
  askedBy: z.string(),
  because: z.string().optional(),
  items: z.array(z.looseObject({ what: z.string(), service: service.optional(), dollars: range })),
  answer: z
    .looseObject({
      answer: z.enum(['yes', 'no', 'in-part']),
      items: z.array(z.number()),
      who: z.string(),
      how: z.enum(APPROVAL_WAYS),
      at: z.string(),
      recordedBy: z.string().optional(),
      wording: z.string().optional(),
    })
    .optional(),
});

/** What of a request has no column of its own. */
export const RequestBody = z.looseObject({
  services: z.array(service),
  slot: slot.nullable(),
  wantedTime: WantedTime.optional(),
  complaint: z.array(z.string()),
  facts: z.array(factRecord),
  advice,
  estimate,
  photos: z.array(z.string()),
  history: z.array(
    z.looseObject({
      at: z.string(),
      by: z.string(),
      what: z.enum([...REQUEST_STATES, 'moved', 'lengthened', 'approval', 'escalated', 'note']),
      note: z.string().optional(),
    }),
  ),
  calendarSequence: z.number(),
  enteredBy: z.string().optional(),
  arrival: arrival.optional(),
  agreed: z.looseObject({ at: z.string(), who: z.string(), wording: z.string() }).optional(),
  moreWork: z.array(moreWork).optional(),
}) as unknown as z.ZodType<Omit<BookingRequest, 'id' | 'vehicleId' | 'state' | 'revision' | 'createdAt' | 'answerBy'>>;
export type RequestBody = z.infer<typeof RequestBody>;

export const RecordBody = z.looseObject({
  services: z.array(service),
  findings: z.array(
    z.looseObject({
      service,
      finding: z.string(),
      place: z.enum(FINDING_PLACES).optional(),
      photos: z.array(z.string()).optional(),
      note: z.string().optional(),
    }),
  ),
  putOff: z.array(z.looseObject({ service, because: z.string() })),
  note: z.string().optional(),
  parts: z.array(z.looseObject({ name: z.string(), lot: z.string().optional() })).optional(),
  torques: z.array(z.looseObject({ place: z.string(), poundInches: z.number() })).optional(),
  photos: z.array(z.string()).optional(),
}) as unknown as z.ZodType<RecordBody>;
export type RecordBody = Pick<
  ServiceRecord,
  'services' | 'findings' | 'putOff' | 'note' | 'parts' | 'torques' | 'photos'
>;

export const FollowUpBody = z.looseObject({
  services: z.array(service),
  dueMiles: z.number().optional(),
  log: z.array(StoredEntry),
});
export type FollowUpBody = Pick<FollowUp, 'services' | 'dueMiles' | 'log'>;

/** The parts that an earlier release did not know yet begin as in a new conversation. */
export const StoredConversation = z
  .looseObject({
    position: z.looseObject({ flow: z.string(), version: z.number(), snapshot: z.unknown() }).nullable(),
    vehicleId: z.string().nullable(),
    question: z
      .looseObject({
        id: z.string(),
        about: z.string(),
        vehicleId: z.string().optional(),
        askedAt: z.string(),
        options: z.array(z.looseObject({ id: z.string(), label: z.string() })),
      })
      .nullable(),
    answered: z.array(z.looseObject({ id: z.string(), about: z.string(), recorded: z.string() })),
    matter: z
      .looseObject({
        openedAt: z.string(),
        words: z.array(z.looseObject({ messageRef: z.string(), text: z.string() })),
        photos: z.array(z.string()),
      })
      .nullable(),
    offered: z.array(slot),
    offersPassed: z.number(),
    chosen: slot.nullable(),
    hold: z.looseObject({ slot, until: z.string() }).optional(),
    wantedTime: WantedTime.optional(),
    services: z.array(service),
    pending: z.array(factRecord),
    warned: z.array(z.enum(SYMPTOMS)),
    hints: z.array(z.enum(SYMPTOMS)),
    requestId: z.string().optional(),
    followUpId: z.string().optional(),
    notUnderstood: z.number(),
    lastAlbum: z.string().optional(),
    greeted: z.boolean(),
    lastHeardAt: z.string().nullable(),
  })
  .partial()
  .transform((stored): Conversation => ({ ...newConversation(), ...stored }) as Conversation);

/** Where a conversation stands before its first message. */
export const newConversation = (): Conversation => ({
  position: null,
  vehicleId: null,
  question: null,
  answered: [],
  matter: null,
  offered: [],
  offersPassed: 0,
  chosen: null,
  services: [],
  pending: [],
  warned: [],
  hints: [],
  notUnderstood: 0,
  greeted: false,
  lastHeardAt: null,
});

export const OutboxPayload = z.looseObject({
  text: z.string(),
  buttons: z.array(z.looseObject({ label: z.string(), data: z.string() })),
  askContact: z.boolean().optional(),
  attachment: z
    .looseObject({ name: z.string(), mediaType: z.string(), content: z.string(), toLookAt: z.boolean().optional() })
    .optional(),
  photos: z.array(z.string()).optional(),
  requestId: z.string().optional(),
});

export const Channel = z.enum(CHANNELS);

/**
 * Reads one JSON column.
 *
 * @param where table, column and id, for whoever has to mend it; no personal data
 * @throws StoreFault `torn-row` where the text is no JSON or not of the shape
 */
export function readJson<T>(schema: z.ZodType<T>, text: string, where: string): T {
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    throw new StoreFault('torn-row', `${where}: not valid JSON`);
  }
  const parsed = schema.safeParse(value);
  if (parsed.success) return parsed.data;
  const [issue] = parsed.error.issues;
  throw new StoreFault('torn-row', `${where}: ${issue?.path.map(String).join('.') ?? ''}: ${issue?.code ?? 'wrong'}`);
}

/** A column that holds one of a list of words. */
export function oneOf<const T extends string>(words: readonly T[], value: string, where: string): T {
  const found = words.find((word) => word === value);
  if (found === undefined) throw new StoreFault('torn-row', `${where}: unknown word`);
  return found;
}
