import type { Facts, FactKey } from '../model/facts.ts';
import { ENGINE_FACTS, engineAnswers } from './engines.ts';
import type { AdviceBook } from './book.ts';
import { TRUE } from './condition.ts';
import { rank, type Decision } from './decide.ts';
import { reachFrom, reachOf, type EngineReach } from './engine-reach.ts';
import { relevantFacts, urgencyFacts, type Scene, type Target } from './relevance.ts';
import type { Situation } from './situation.ts';
import { openVariables, type Variable } from './variables.ts';

export interface OpenFact {
  fact: FactKey;
  couldChange: Target['id'][];
}

/** What is worked out is kept while there are at most so many of a kind. */
const KEPT = 20_000;

function kept<V>(known: Map<string, V>, key: string, work: () => V): V {
  let found = known.get(key);
  if (found === undefined) {
    if (known.size >= KEPT) known.clear();
    found = work();
    known.set(key, found);
  }
  return found;
}

/** The facts whose answer could still change the advice, the most weighty first; a danger that may be there weighs most. */
export function openFacts(
  facts: Facts,
  book: AdviceBook,
  present: Situation,
  decision: Decision,
  dated: boolean,
): OpenFact[] {
  const answers = book.engines.told(facts) ? undefined : engineAnswers(facts);
  const engineOpen = answers !== undefined && ENGINE_FACTS.some((fact) => answers[fact] === undefined);
  const variables = openVariables(present, engineOpen, dated);
  if (variables.size === 0) return [];
  const engineKey = engineOpen ? ENGINE_FACTS.map((fact) => answers[fact] ?? '').join() : '';
  const reach: EngineReach = engineOpen
    ? kept(book.worked.reach, engineKey, () => reachOf(answers, book.engines))
    : reachFrom([present.engine], new Map());
  const scene: Scene = { present, open: { ...present, open: true, engine: reach.hull }, variables, reach };
  const changes = new Map<FactKey, Target['id'][]>();
  const add = (target: Target, found: ReadonlySet<FactKey>) => {
    for (const fact of found) {
      const known = changes.get(fact);
      if (known) known.push(target.id);
      else changes.set(fact, [target.id]);
    }
  };
  for (const target of book.targets) {
    const key = `${target.id}#${keyOf(target, present, variables, engineKey)}`;
    if (!isUrgency(target.id)) {
      add(
        target,
        kept(book.worked.relevant, key, () => relevantFacts(target, scene)),
      );
    } else if (rank(target.id) < rank(decision.urgency)) {
      const found = new Set(changes.keys());
      const work = () => urgencyFacts(target, scene, found);
      add(target, kept(book.worked.relevant, `${key}#${[...found].join()}`, work));
    }
  }
  const weigh = (change: Target['id']): number =>
    isUrgency(change) ? URGENCY_WEIGHT[change] : (book.services.get(change)?.weight ?? 0);
  return [...changes]
    .map(([fact, couldChange]) => {
      const likely = book.questions.get(fact)?.likely ?? 0;
      return { fact, couldChange, weight: likely * couldChange.reduce((sum, id) => sum + weigh(id), 0) };
    })
    .sort((a, b) => b.weight - a.weight || (a.fact < b.fact ? -1 : 1))
    .map(({ fact, couldChange }) => ({ fact, couldChange }));
}

/** Of the open facts those that the owner is asked for; the others are for the shop to find out. */
export function toAsk(open: readonly OpenFact[], book: AdviceBook, present: Situation): FactKey[] {
  return open.flatMap(({ fact }) => {
    const question = book.questions.get(fact);
    if (!question?.ask) return [];
    const when = question.askWhen?.(present) ?? TRUE;
    return when === TRUE && question.askUnless?.(present) !== TRUE ? [fact] : [];
  });
}

const URGENCY_WEIGHT = { 'do-not-drive': 1000, prompt: 100, planned: 10, watch: 0 };
const isUrgency = (id: Target['id']): id is keyof typeof URGENCY_WEIGHT => id in URGENCY_WEIGHT;

/** Everything that the search for a target can see of a situation, as a text. */
function keyOf(target: Target, s: Situation, open: ReadonlySet<Variable>, engineKey: string): string {
  let key = '';
  for (const variable of target.variables) {
    key += '|';
    if (variable === 'engine') key += open.has('engine') ? engineKey : `=${s.engine.id}`;
    else if (variable === 'symptoms') key += listKey(s.symptoms, target.outlook.seen.symptoms);
    else if (variable === 'troubleCodes') key += listKey(s.codes, target.outlook.seen.codes);
    else if (variable === 'lastFuelFilterDate') key += open.has(variable) ? '?' : s.monthsSinceFuelFilter;
    else key += s[variable];
  }
  return key;
}

function listKey(list: Situation['symptoms'], seen: readonly string[]): string {
  const members = list.members.size === 0 ? '' : seen.filter((id) => list.members.has(id)).join();
  const denied = list.denied.size === 0 ? '' : seen.filter((id) => list.denied.has(id)).join();
  return `${members}/${list.closed}/${denied}`;
}
