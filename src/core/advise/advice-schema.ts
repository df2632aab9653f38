import { z } from 'zod';
import { FACT_KEYS, type FactKey } from '../model/facts.ts';
import { CAUTIONS, SERVICES, URGENCIES } from '../model/ids.ts';
import { ConditionTree } from './condition.ts';

const id = z.string().regex(/^[a-z0-9-]+$/, 'expected an id of small letters, digits and hyphens');
/** A text in every language of the shop; `{name}` stands for a figure. */
export const Wording = z.strictObject({ en: z.string().min(1), es: z.string().min(1) });
export type Wording = z.infer<typeof Wording>;

const factsListed = z.array(z.string().min(1));

/** flows/advice/facts.yaml */
export const FactsFile = z.strictObject({
  facts: z.array(
    z.strictObject({
      id: z.string().min(1),
      kind: z.enum(['number', 'choice', 'list']),
      values: z.array(z.union([z.string(), z.boolean()])).optional(),
      of: z.enum(['symptoms', 'code-groups']).optional(),
      low: z.number().optional(),
      high: z.number().optional(),
      from: factsListed.optional(),
      says: Wording,
    }),
  ),
  /** How facts are asked for; every fact that can be open is here. */
  questions: z.array(
    z.strictObject({
      fact: z.enum(FACT_KEYS as [FactKey, ...FactKey[]]),
      /** How likely the answer is to change the advice, from 0 to 1. */
      likely: z.number().positive().max(1),
      /** The same where `askWhen` or `askUnless` keeps it from being asked; `likely` where it is left out. */
      likelyUnasked: z.number().positive().max(1).optional(),
      ask: z.boolean().default(true),
      askWhen: ConditionTree.optional(),
      askUnless: ConditionTree.optional(),
    }),
  ),
});
export type FactsFile = z.infer<typeof FactsFile>;

/** flows/advice/cautions.yaml */
export const CautionsFile = z.strictObject({
  /** In the order in which they are shown; the one that defers to a technician and to local rules comes last. */
  cautions: z.array(z.strictObject({ id: z.enum(CAUTIONS), text: Wording })),
  /** The caution that closes every list of cautions. */
  closing: z.enum(CAUTIONS),
  /** For each urgency the cautions that always come with it. */
  urgencies: z.partialRecord(z.enum(URGENCIES), z.array(z.enum(CAUTIONS))).default({}),
  /** For each service the cautions of its work; `hands-on: false` where nobody lays hand on the truck. */
  services: z.array(
    z.strictObject({
      id: z.enum(SERVICES),
      handsOn: z.boolean().default(true),
      cautions: z.array(z.enum(CAUTIONS)).default([]),
      /** How much hangs on it, when it is decided what to ask next. */
      weight: z.number().positive(),
    }),
  ),
});
export type CautionsFile = z.infer<typeof CautionsFile>;

const SOURCE = 'a rule needs its source: a name, "from memory" or "common practice, no source"';

const Rule = z.strictObject({
  id,
  when: ConditionTree,
  /** The rule holds only where this is not known to be true. */
  unless: ConditionTree.optional(),
  advise: z.array(z.strictObject({ service: z.enum(SERVICES), because: Wording })).default([]),
  /** What might be expected and is not advised, with the reason. */
  notAdvised: z.array(z.strictObject({ service: z.enum(SERVICES), because: Wording })).default([]),
  urgency: z.enum(URGENCIES).optional(),
  cautions: z.array(z.enum(CAUTIONS)).default([]),
  /** What to do now: at most two sentences. Of several, the first rule's in the order of the files stands. */
  doNow: z.strictObject({ en: z.array(z.string()).min(1).max(2), es: z.array(z.string()).min(1).max(2) }).optional(),
  note: Wording.optional(),
  shopNote: Wording.optional(),
  /** Why a service manager holds the rule. */
  reason: z.string('a rule needs the reason why a service manager holds it').min(1, 'a rule needs its reason'),
  source: z.string(SOURCE).min(1, SOURCE),
});
export type Rule = z.infer<typeof Rule>;

/** One file of flows/advice/rules/. */
export const RulesFile = z.strictObject({
  /** Conditions with a name, for this file. */
  conditions: z.record(z.string(), ConditionTree).default({}),
  /** Added to `unless` of every rule of the file. */
  unless: ConditionTree.optional(),
  rules: z.array(Rule),
});
export type RulesFile = z.infer<typeof RulesFile>;
