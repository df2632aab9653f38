import { z } from 'zod';
import { advise, type AdviceBook } from '../core/advise/mod.ts';
import type { Advice } from '../core/model/advice.ts';
import { Facts } from '../core/model/facts.ts';
import type { Language } from '../core/model/ids.ts';

/** `today`, in the shop's zone, serves what is due by months; without it only miles count. */
const AdviseLine = z.strictObject({ facts: Facts, today: z.iso.date().optional() });

/** The `advise` command: one line of facts to what the rules conclude, or what is wrong with the line and where. */
export function adviseCommand(
  book: AdviceBook,
  language: Language = 'en',
): (line: unknown) => Advice | { error: string } {
  return (line) => {
    const parsed = AdviseLine.safeParse(line);
    if (!parsed.success) {
      const [issue] = parsed.error.issues;
      const extra = issue?.code === 'unrecognized_keys' ? issue.keys : [];
      const place = [...(issue?.path ?? []), ...extra.slice(0, 1)].map(String).join('.') || 'the line';
      return { error: `${place}: ${issue?.message ?? 'unreadable'}` };
    }
    const { facts, today } = parsed.data;
    const { urgency, services, bundle, cautions, stillUnknown, notAdvised } = advise(facts, book, language, today);
    return { urgency, services, bundle, cautions, stillUnknown, notAdvised };
  };
}
