import type { AdvisedService, AdviceInFull } from '../model/advice.ts';
import type { Facts } from '../model/facts.ts';
import { DANGER_SYMPTOMS, type Language, type ServiceId } from '../model/ids.ts';
import type { IsoDate } from '../model/time.ts';
import type { AdviceBook } from './book.ts';
import { cautionsOf, decide } from './decide.ts';
import { believed } from './estimate-engine.ts';
import { labourOf, type Labour } from './services-cost.ts';
import { situationOf, sure, type Situation } from './situation.ts';
import { aheadOf } from './unknown.ts';
import { say } from './wording.ts';
import { kept } from './worked.ts';

/**
 * What the rules conclude from the facts of one truck, in the language asked for: the owner's complaint first, what is
 * due after it. `today` (in the shop's zone) serves what is due by months; without it only miles count.
 */
export function advise(facts: Facts, book: AdviceBook, language: Language, today?: IsoDate): AdviceInFull {
  const { engines, codeGroups } = book;
  const situation = situationOf(facts, { engines, codeGroups, today });
  const decision = decide(book.rules, situation);
  const labour = labourFor([...decision.services.keys()], situation, book);
  const services = [...decision.services].map(([id, rules]): AdvisedService => ({
    id,
    because: [
      ...new Set(
        rules.flatMap(({ advise }) =>
          advise.filter(({ service }) => service === id).map(({ because }) => say(because, language, situation, facts)),
        ),
      ),
    ],
    rules: rules.map((rule) => rule.id),
    labourHours: labour.services.find((service) => service.id === id)?.labourHours ?? { low: 0, high: 0 },
  }));
  const { stillUnknown, ask, dueAt } = aheadOf(facts, book, situation, decision, today !== undefined);
  const texts = new Map(book.cautions.cautions.map(({ id, text }) => [id, text[language]]));
  const notAdvised = new Map<ServiceId, string>();
  for (const rule of decision.fired) {
    for (const { service, because } of rule.notAdvised) {
      if (!decision.services.has(service) && !notAdvised.has(service)) {
        notAdvised.set(service, say(because, language, situation, facts));
      }
    }
  }
  const spoken = (part: 'note' | 'shopNote'): string[] =>
    decision.fired.flatMap((rule) => {
      const wording = rule[part];
      return wording ? [say(wording, language, situation, facts)] : [];
    });
  return {
    urgency: decision.urgency,
    services,
    bundle: labour.bundle,
    cautions: cautionsOf(book, decision).map((id) => ({ id, text: texts.get(id) ?? id })),
    stillUnknown: stillUnknown.map(({ fact, couldChange }) => ({ fact, couldChange: [...couldChange] })),
    notAdvised: [...notAdvised].map(([id, because]) => ({ id, because })),
    doNow: decision.fired.find((rule) => rule.doNow)?.doNow?.[language] ?? [],
    cautionsNow: cautionsOf(book, decision, 'the most urgent'),
    notes: [...spoken('note'), ...recallNotes(facts, situation, language)],
    shopNotes: spoken('shopNote'),
    ask: [...ask],
    dueAt: dueAt.map((due) => ({ ...due })),
    dangers: DANGER_SYMPTOMS.filter((symptom) => situation.symptoms.members.has(symptom)),
    families: situation.engine.families.map((family) => family.id),
  };
}

/** The hint of the engine family about a recall, while it is not known whether the pump was changed. */
function recallNotes(facts: Facts, { engine }: Situation, language: Language): string[] {
  if (sure(facts, 'pumpReplaced') !== undefined) return [];
  const hints = engine.families.map((family) => (family.fuel === 'diesel' ? family.recallHint?.[language] : undefined));
  const told = hints.filter((hint) => hint !== undefined);
  return told.length === hints.length ? [...new Set(told)] : [];
}

const NO_LABOUR: Labour = {
  services: [],
  bundle: { labourHours: { low: 0, high: 0 }, savedHours: { low: 0, high: 0 } },
};

function labourFor(ids: ServiceId[], { engine }: Situation, book: AdviceBook): Labour {
  if (ids.length === 0) return NO_LABOUR;
  const key = `${engine.id}|${ids.join()}`;
  return kept(book.worked.labour, key, () => labourOf(ids, believed(engine), book.catalogue));
}
