import { z } from 'zod';
import { sound, unsound, type Checked, type FlowFile, type FlowFinding } from '../model/checked.ts';
import { FACT_KEYS, Facts, type FactKey } from '../model/facts.ts';
import { parseFlowYaml } from '../model/flow-yaml.ts';
import { fleetPatterns, itemPattern, type FleetPatterns } from './list-patterns.ts';
import { ASKABLE, type Askable } from '../model/reading.ts';
import type { Texts } from '../model/texts.ts';

const factKey = z.enum(FACT_KEYS as [FactKey, ...FactKey[]]);

const QuestionText = z.strictObject({
  /** The facts it settles; "I don't know" closes them all. */
  facts: z.array(factKey).min(1),
  /** What the reader is told was asked. */
  asked: z.enum(ASKABLE),
  text: z.string(),
  /** Asked only while few such questions were asked: it refines the advice, and the shop can check it at arrival. */
  detail: z.boolean().default(false),
  /** Shown once, small, where the owner can find the answer. */
  hint: z.string().optional(),
  options: z
    .array(
      z.strictObject({
        id: z.string().regex(/^[a-z0-9-]{1,20}$/),
        text: z.string(),
        sets: Facts.partial().optional(),
        phrases: z.array(z.string()).default([]),
      }),
    )
    .default([]),
});
export type QuestionText = z.infer<typeof QuestionText>;

const QuestionFile = z.strictObject({
  /** Questions of detail that one matter bears. */
  detailsAtMost: z.number().int().min(0),
  /** What people say before their name when they are asked for it. */
  nameLeads: z.array(z.string()),
  itemList: z.strictObject({ leads: z.array(z.string()), joins: z.array(z.string()).min(1) }),
  fleetList: z.strictObject({
    units: z.array(z.string()).min(1),
    verbs: z.array(z.string()).min(1),
    miles: z.array(z.string()).min(1),
  }),
  questions: z.record(z.string(), QuestionText),
});

export interface Questions {
  detailsAtMost: number;
  nameLeads: readonly string[];
  /** A whole answer that is some of the items that were found, by number. */
  itemList: RegExp;
  fleetList: FleetPatterns;
  byName: ReadonlyMap<string, QuestionText>;
  /** The question that settles a fact, if an owner can be asked for it. */
  nameFor(fact: FactKey): string | undefined;
  askedAs(name: string): Askable | undefined;
}

/** Checks flows/conversation/questions.yaml: shape, texts that exist, and no fact asked by two questions. */
export function compileQuestions(file: FlowFile, texts: Pick<Texts, 'ids'>): Checked<Questions> {
  const parsed = parseFlowYaml(file, QuestionFile);
  if (!parsed.ok) return parsed;
  const { value, finding } = parsed.value;
  const findings: FlowFinding[] = [];
  const owners = new Map<FactKey, string>();
  for (const [name, question] of Object.entries(value.questions)) {
    const keys = ['questions', name];
    for (const fact of question.facts) {
      const other = owners.get(fact);
      if (other) findings.push(finding([...keys, 'facts'], `"${fact}" is already asked by "${other}"`));
      owners.set(fact, name);
    }
    const ids = [question.text, question.hint, ...question.options.map(({ text }) => text)];
    for (const id of ids) {
      if (id && !texts.ids.has(id)) findings.push(finding(keys, `there is no text "${id}" in flows/texts`));
    }
  }
  if (findings.length > 0) return unsound(findings);
  const byName = new Map(Object.entries(value.questions));
  return sound({
    detailsAtMost: value.detailsAtMost,
    nameLeads: value.nameLeads,
    itemList: itemPattern(value.itemList),
    fleetList: fleetPatterns(value.fleetList),
    byName,
    nameFor: (fact) => owners.get(fact),
    askedAs: (name) => byName.get(name)?.asked,
  });
}

/** Questions whose answer is taken as it was typed. */
export const FREE_TEXT = new Set(['name', 'phone', 'tow-details']);

/** Questions that an owner answers with a day or an hour. */
export const TIME_QUESTIONS = new Set(['time', 'advice', 'service-offer', 'other-time', 'send']);

/** Questions whose number is an odometer value. */
export const ODOMETER_QUESTIONS = new Set(['odometer-check', 'odometer-first', 'doubt:odometerMiles']);
