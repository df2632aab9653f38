import type { AdvisedService, AdviceInFull } from '../model/advice.ts';
import type { Facts } from '../model/facts.ts';
import type { Language } from '../model/ids.ts';
import type { IsoDate } from '../model/time.ts';
import type { AdviceBook } from './book.ts';
import { cautionsOf, decide } from './decide.ts';
import { isDanger, situationOf, symptomsOf } from './situation.ts';
import { openFacts } from './unknown.ts';
import { say } from './wording.ts';

export { compileAdvice, type AdviceBook } from './book.ts';

/**
 * What the rules conclude from the facts of one truck, in the language asked for. `today` (in the shop's zone) serves
 * what is due by months; without it only miles count.
 */
export function advise(facts: Facts, book: AdviceBook, language: Language, today?: IsoDate): AdviceInFull {
  const situation = situationOf(facts, book.vehicles, today);
  const decision = decide(book, situation);
  const services = [...decision.services].map(([id, rules]): AdvisedService => ({
    id,
    because: rules.flatMap((rule) =>
      rule.advise.filter(({ service }) => service === id).map(({ because }) => say(because, language, situation)),
    ),
    rules: rules.map((rule) => rule.id),
    labourHours: { low: 0, high: 0 },
  }));
  const texts = new Map(book.cautions.cautions.map(({ id, text }) => [id, text[language]]));
  return {
    urgency: decision.urgency,
    services,
    bundle: { labourHours: { low: 0, high: 0 }, savedHours: { low: 0, high: 0 } },
    cautions: cautionsOf(book, decision).map((id) => ({ id, text: texts.get(id) ?? id })),
    stillUnknown: openFacts(book, situation, decision),
    notAdvised: decision.fired.flatMap((rule) =>
      rule.notAdvised
        .filter(({ service }) => !decision.services.has(service))
        .map(({ service, because }) => ({ id: service, because: say(because, language, situation) })),
    ),
    doNow: decision.fired.find((rule) => rule.doNow)?.doNow?.[language] ?? [],
    notes: decision.fired.flatMap((rule) => (rule.note ? [say(rule.note, language, situation)] : [])),
    shopNotes: decision.fired.flatMap((rule) => (rule.shopNote ? [say(rule.shopNote, language, situation)] : [])),
    dueAt: [],
    dangers: [...symptomsOf(facts).members].filter((symptom) => isDanger(symptom as never)) as AdviceInFull['dangers'],
    families: situation.families.map((family) => family.id),
  };
}
