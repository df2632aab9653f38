import type { Intent } from '../../model/ids.ts';
import type { Askable } from '../../model/reading.ts';
import type { Finding } from './finding.ts';
import { aloneKey, type ComplaintLexicon } from './lexicon.ts';
import type { Match, Scene } from './pattern.ts';

/** The first that is asked for decides. */
const PRECEDENCE: readonly Intent[] = [
  'tamper',
  'opt-out',
  'cancel',
  'reschedule',
  'person',
  'price',
  'book',
  'opt-in',
  'odometer',
  'help',
  'service',
];

/** Questions to which a "no" is the answer. */
const YES_OR_NO: ReadonlySet<Askable> = new Set([
  'tows',
  'breatherOriginal',
  'pumpProtected',
  'pumpReplaced',
  'confirm',
]);

const hasClass = (scene: Scene, position: number, classId: number): boolean =>
  (scene.at[position] ?? []).some((hit) => hit.class === classId);

const hasAnywhere = (scene: Scene, classId: number): boolean =>
  scene.at.some((hits) => hits.some((hit) => hit.class === classId));

/** Wishes for which one word is not enough beside an answer: "the invoice says 2015" asks for nothing. */
const NEEDS_MORE: ReadonlySet<Intent> = new Set(['price', 'help', 'person', 'book', 'odometer']);

/** A single word of a wish, spoken in passing while another question is answered. */
function isPassing(intent: Intent, match: Match, scene: Scene): boolean {
  if (!NEEDS_MORE.has(intent) || match.to - match.from > 1) return false;
  return scene.clauses[scene.words[match.from]?.clause ?? 0]?.question !== true;
}

/** What the owner wants: a whole message that is known, or the wish that comes first in order. */
export function readIntent(
  findings: readonly Finding[],
  asked: Askable | undefined,
  complains: boolean,
  scene: Scene,
  lexicon: ComplaintLexicon,
): { intent?: Intent; match?: Match } {
  if (scene.words.length <= 12) {
    const said = scene.words.map((word) => word.text);
    const polite = said.filter((word) => !lexicon.grammar.politeness.has(word));
    const intent = lexicon.alone.get(polite.join(' ')) ?? lexicon.alone.get(aloneKey(said, lexicon.skipped));
    // "no mas" after "does it tow?" is an answer, whatever it would be by itself.
    const answers = asked !== undefined && YES_OR_NO.has(asked) && hasClass(scene, 0, lexicon.scope['none-answer']);
    if (intent && !answers) return { intent, match: { hits: [], from: 0, to: scene.words.length } };
  }
  const ends = asked === undefined && !complains && scene.words.length <= 12 ? endsWith(scene, lexicon) : undefined;
  if (ends) return { intent: ends, match: { hits: [], from: 0, to: scene.clauses[0]?.to ?? 0 } };
  const wishes = new Map<Intent, Match>();
  const otherwise = new Map<Intent, Match>();
  let excuse: Match | undefined;
  for (const { rule, match, denied, scope } of findings) {
    if (rule.meaning.says !== 'intent' || denied) continue;
    if (scope === 'seller') continue;
    if (scope === 'other-truck' && !isOnesOwn(rule.meaning.intent, scene, lexicon)) continue;
    if (isExcuse(match, lexicon)) {
      if (asked === undefined || asked === 'confirm') excuse ??= match;
      continue;
    }
    if (asked !== undefined && isPassing(rule.meaning.intent, match, scene)) continue;
    // A reading that was asked for is the answer and no wish.
    if (asked === 'odometerMiles' && rule.meaning.intent === 'odometer') continue;
    if (rule.meaning.otherwise && hasAnywhere(scene, lexicon.scope['asks-for-work'])) continue;
    const into = rule.meaning.otherwise ? otherwise : wishes;
    if (!into.has(rule.meaning.intent)) into.set(rule.meaning.intent, match);
  }
  for (const [intent, others] of lexicon.intentOver) {
    if (wishes.has(intent)) for (const other of others) wishes.delete(other);
  }
  const isAboutVisit =
    excuse !== undefined && (names(excuse, lexicon.scope['cant-make']) || hasAnywhere(scene, lexicon.scope.visit));
  if (excuse && (!complains || isAboutVisit) && !wishes.has('cancel') && !wishes.has('reschedule')) {
    wishes.set('reschedule', excuse);
    wishes.delete('book');
  }
  for (const from of complains ? [wishes] : [wishes, otherwise]) {
    for (const intent of PRECEDENCE) {
      const match = from.get(intent);
      if (match) return { intent, match };
    }
  }
  return asked === undefined && (complains || (speaksOfWork(scene, lexicon) && !speaksOfATime(scene, lexicon)))
    ? { intent: 'service' }
    : {};
}

/**
 * "I won't make it": who only cannot come has not said whether to move the appointment or to give it up. Beside a
 * complaint it may be the truck that does not make it up the hill.
 */
const isExcuse = (match: Match, { scope }: ComplaintLexicon): boolean =>
  names(match, scope['cannot-come']) || names(match, scope['day-is-out']) || names(match, scope['cant-make']);

const names = ({ hits }: Match, classId: number): boolean => hits.some((hit) => hit.class === classId);

/** Wishes of whoever writes, whatever machine or truck is named beside them. */
const WRITERS_OWN: ReadonlySet<Intent> = new Set(['cancel', 'reschedule', 'opt-out', 'opt-in', 'person']);

/** "My cousin had his taken off. Do you do that?" asks for it as well. */
const isOnesOwn = (intent: Intent, scene: Scene, lexicon: ComplaintLexicon): boolean =>
  WRITERS_OWN.has(intent) || (intent === 'tamper' && hasAnywhere(scene, lexicon.scope['wants-the-same']));

/** "Stop. I mean it.": a first sentence that is known as an opt-out by itself. */
function endsWith({ words, clauses }: Scene, lexicon: ComplaintLexicon): Intent | undefined {
  const [first, second] = clauses;
  if (!first || !second || first.sentence === second.sentence) return undefined;
  const said = words.slice(first.from, first.to).map(({ text }) => text);
  const intent = lexicon.alone.get(said.filter((word) => !lexicon.grammar.politeness.has(word)).join(' '));
  return intent === 'opt-out' ? intent : undefined;
}

/** "Give Wednesday to somebody else": a day without any complaint is about an appointment, whatever is meant. */
const speaksOfATime = (scene: Scene, lexicon: ComplaintLexicon): boolean => hasAnywhere(scene, lexicon.scope['a-time']);

/** A part, a fluid, a gauge or a word of service: without any of them a message asks for no service. */
function speaksOfWork(scene: Scene, lexicon: ComplaintLexicon): boolean {
  return scene.at.some((hits) =>
    hits.some(
      ({ class: id }) =>
        lexicon.kinds[id] !== undefined || lexicon.trouble.has(id) || id === lexicon.scope['sign-of-work'],
    ),
  );
}
