import type { Facts, FactKey } from '../model/facts.ts';
import { ENGINE_FACTS, engineAnswers } from './engines.ts';
import type { AdviceBook, Question } from './book.ts';
import { TRUE } from './condition.ts';
import { rank, type Decision } from './decide.ts';
import { dueMiles } from './due.ts';
import { reachOf, type EngineReach } from './engine-reach.ts';
import { relevantFacts, urgencyFacts, type Scene } from './relevance.ts';
import { prospectOf, ruleStandings, type Target } from './targets.ts';
import type { Situation } from './situation.ts';
import { openVariables } from './variables.ts';
import { kept, toldReach, type Ahead } from './worked.ts';

interface OpenFact {
  fact: FactKey;
  couldChange: Target['id'][];
}

/** What lies ahead of a decision; worked out once for all that was told. */
export function aheadOf(facts: Facts, book: AdviceBook, present: Situation, decision: Decision, dated: boolean): Ahead {
  return kept(book.worked.ahead, everythingTold(present, facts, dated), () => {
    const stillUnknown = openFacts(facts, book, present, decision, dated);
    const dueAt = dueMiles(book.targets.all, present, decision, toldReach(book.worked, present.engine));
    return { stillUnknown, ask: toAsk(stillUnknown, book, present), dueAt };
  });
}

/** All that a situation and its open facts hang on, as a text. */
function everythingTold(s: Situation, { engineFamily, unsure, ...facts }: Facts, dated: boolean): string {
  const doubtful = (fact: FactKey): boolean => unsure?.includes(fact) ?? false;
  let key = dated ? `${s.monthsSinceFuelFilter}` : '';
  for (const fact of ENGINE_FACTS) key += `|${doubtful(fact) ? '' : (facts[fact] ?? '')}`;
  key += `|${doubtful('engineFamily') ? '' : (engineFamily ?? '')}|${s.odometerMiles}|${s.pumpFittedAtMiles}`;
  key += `|${s.lastFuelFilterMiles}|${s.lastOilChangeMiles}|${s.oilChangeIntervalMiles}`;
  key += `|${s.tamper}${s.coverageTold}${s.vinTold}${s.yearFitsVin}${s.engineFits}${s.firstUseWithinFiveYears}`;
  key += `|${s.tows}${s.breatherOriginal}${s.pumpProtected}${s.pumpReplaced}${s.metalFound}`;
  for (const list of [s.symptoms, s.codes]) {
    key += list.closed ? '|' : '|?';
    for (const id of list.members) key += `${id},`;
    for (const id of list.denied) key += `-${id},`;
  }
  return key;
}

/** The facts whose answer could still change the advice, the most weighty first; a danger that may be there weighs most. */
function openFacts(facts: Facts, book: AdviceBook, present: Situation, decision: Decision, dated: boolean): OpenFact[] {
  const answers = book.engines.told(facts) ? undefined : engineAnswers(facts);
  const engineOpen = answers !== undefined && ENGINE_FACTS.some((fact) => answers[fact] === undefined);
  const variables = openVariables(present, engineOpen, dated);
  if (variables.size === 0) return [];
  const engineKey = engineOpen ? ENGINE_FACTS.map((fact) => answers[fact] ?? '').join() : '';
  const reach: EngineReach = engineOpen
    ? kept(book.worked.reach, engineKey, () => reachOf(answers, book.engines, ++book.worked.reaches))
    : toldReach(book.worked, present.engine);
  const scene: Scene = { present, open: { ...present, open: true, engine: reach.hull }, variables, reach };
  // An open date counts only where today is known.
  const openKey = dated ? 'd' : '';
  const changes = new Map<FactKey, Target['id'][]>();
  const add = (target: Target, found: ReadonlySet<FactKey>) => {
    for (const fact of found) {
      const known = changes.get(fact);
      if (known) known.push(target.id);
      else changes.set(fact, [target.id]);
    }
  };
  const standings = ruleStandings(book.targets.comparisons.truthsIn(scene.open), book.targets);
  for (const target of book.targets.all) {
    const prospect = prospectOf(target, standings, book.targets);
    if (!prospect) continue;
    const key = `${prospect.serial}#${prospect.likeness(present, variables, reach)}#${openKey}`;
    const before = kept(book.worked.witnesses, target.id, () => []);
    if (!isUrgency(target.id)) {
      add(
        target,
        kept(book.worked.relevant, key, () => relevantFacts(prospect, scene, before)),
      );
    } else if (rank(target.id) < rank(decision.urgency)) {
      const found = new Set(changes.keys());
      const work = () => urgencyFacts(target, prospect, scene, before, found);
      add(target, kept(book.worked.relevant, `${key}#${[...found].join()}`, work));
    }
  }
  const weigh = (change: Target['id']): number =>
    isUrgency(change) ? URGENCY_WEIGHT[change] : (book.services.get(change)?.weight ?? 0);
  return [...changes]
    .map(([fact, couldChange]) => {
      const question = book.questions.get(fact);
      const likely = question ? (isCalledFor(question, present) ? question.likely : question.likelyUnasked) : 0;
      return { fact, couldChange, weight: likely * couldChange.reduce((sum, id) => sum + weigh(id), 0) };
    })
    .sort((a, b) => b.weight - a.weight || (a.fact < b.fact ? -1 : 1))
    .map(({ fact, couldChange }) => ({ fact, couldChange }));
}

/** Whether what is known so far makes a question worth asking. */
function isCalledFor({ askWhen, askUnless }: Question, present: Situation): boolean {
  return (askWhen?.(present) ?? TRUE) === TRUE && askUnless?.(present) !== TRUE;
}

/** Of the open facts those that the owner is asked for; the others are for the shop to find out. */
function toAsk(open: readonly OpenFact[], book: AdviceBook, present: Situation): FactKey[] {
  return open.flatMap(({ fact }) => {
    const question = book.questions.get(fact);
    return question?.ask && isCalledFor(question, present) ? [fact] : [];
  });
}

const URGENCY_WEIGHT = { 'do-not-drive': 1000, prompt: 100, planned: 10, watch: 0 };
const isUrgency = (id: Target['id']): id is keyof typeof URGENCY_WEIGHT => id in URGENCY_WEIGHT;
