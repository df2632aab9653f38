import { z } from 'zod';
import { cautionsOf, decide } from '../../src/core/advise/decide.ts';
import type { AdviceBook, ReadyRule } from '../../src/core/advise/book.ts';
import { situationOf, type Situation } from '../../src/core/advise/situation.ts';
import { Facts } from '../../src/core/model/facts.ts';
import { parseFlowYaml } from '../../src/core/model/flow-yaml.ts';
import { CAUTIONS, SERVICES, URGENCIES } from '../../src/core/model/ids.ts';
import { flowFiles } from './advise/flows.ts';

const WorkedCase = z.strictObject({
  id: z.string().regex(/^[a-z0-9-]+$/),
  why: z.string().min(1),
  facts: Facts,
  /** The day of the visit, for what is due by months. */
  today: z.iso.date().optional(),
  urgency: z.enum(URGENCIES),
  must: z.array(z.enum(SERVICES)).default([]),
  mustNot: z.array(z.enum(SERVICES)).default([]),
  /** Services that are named as not advised, with a reason. */
  notAdvised: z.array(z.enum(SERVICES)).default([]),
  /** All of them must be shown, others may. */
  cautions: z.array(z.enum(CAUTIONS)).default([]),
  /** Rules that must hold, where what they say is no service. */
  rules: z.array(z.string()).default([]),
  /** Rules that must not hold. */
  notRules: z.array(z.string()).default([]),
});
export type WorkedCase = z.infer<typeof WorkedCase> & { file: string };

const CasesFile = z.strictObject({ cases: z.array(WorkedCase).min(1) });

/** The worked cases of flows/advice/cases/. */
export function workedCases(): WorkedCase[] {
  return flowFiles('flows/advice/cases').flatMap((file) => {
    const parsed = parseFlowYaml(file, CasesFile);
    if (!parsed.ok)
      throw new Error(parsed.findings.map(({ line, message }) => `${file.path}:${line}: ${message}`).join('\n'));
    return parsed.value.value.cases.map((each) => ({ ...each, file: file.path }));
  });
}

export const situationIn = ({ facts, today }: WorkedCase, book: AdviceBook): Situation =>
  situationOf(facts, { engines: book.engines, codeGroups: book.codeGroups, today });

/** What a case has against the rules; nothing where they agree. */
export function objections(
  worked: WorkedCase,
  book: AdviceBook,
  rules: readonly ReadyRule[] = book.rules,
  situation: Situation = situationIn(worked, book),
): string[] {
  const decision = decide(rules, situation);
  const advised = new Set<string>(decision.services.keys());
  const held = new Set(decision.fired.map(({ id }) => id));
  const named = new Set(decision.fired.flatMap(({ notAdvised }) => notAdvised.map(({ service }) => service)));
  const shown = new Set(cautionsOf(book, decision));
  const each = <T>(ids: readonly T[], wrong: (id: T) => boolean, what: string) =>
    ids.filter(wrong).map((id) => `${what} ${String(id)}`);
  return [
    ...(decision.urgency === worked.urgency ? [] : [`urgency is ${decision.urgency}, not ${worked.urgency}`]),
    ...each(worked.must, (id) => !advised.has(id), 'does not advise'),
    ...each(worked.mustNot, (id) => advised.has(id), 'advises'),
    ...each(worked.notAdvised, (id) => advised.has(id) || !named.has(id), 'gives no reason against'),
    ...each(worked.cautions, (id) => !shown.has(id), 'does not show the caution'),
    ...each(worked.rules, (id) => !held.has(id), 'does not apply the rule'),
    ...each(worked.notRules, (id) => held.has(id), 'applies the rule'),
  ];
}
