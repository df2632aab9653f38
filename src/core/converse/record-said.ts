import type { FactKey } from '../model/facts.ts';
import type { Symptom } from '../model/ids.ts';
import type { Question } from '../model/owner.ts';
import type { ReadResult } from '../model/reading.ts';
import { bare } from './commands.ts';
import { FREE_TEXT, TIME_QUESTIONS } from './questions.ts';
import { isDanger, markUnknowable, record, recordsFrom, recordsOf, settleDoubt } from './record.ts';
import { symptomsOf, vehicleOf, withTalk, type Scene } from './scene.ts';

/** Keeps what a text says: facts, answers to what was asked, doubts settled, what cannot be told, what to ask after. */
export function recordAll(scene: Scene, read: ReadResult, messageRef: string, question: Question | null): Scene {
  const dangers = (read.facts.symptoms ?? []).some(isDanger);
  if (question && FREE_TEXT.has(question.about) && question.about !== 'tow-details' && !dangers) return scene;
  let told = record(scene, [...answersTo(scene, read, question, messageRef), ...noComplaint(scene, read, question)]);
  // "No, 98,400" has said it all: what was in doubt is replaced already.
  const replaced =
    read.facts.answer === 'no' && Object.keys(read.facts).some((key) => `doubt:${key}` === question?.about);
  if (question?.about.startsWith('doubt:') && read.facts.answer && !replaced) {
    told = settle(told, question.about.slice(6) as FactKey, read.facts.answer);
  }
  const answer = spokenAnswer(read);
  if (question?.about.startsWith('hint:') && answer) {
    told = settleHint(told, question.about.slice(5) as Symptom, answer);
  }
  // Where times are the matter, "next month" is sure enough to look there: what is found is shown before it is taken.
  const unsureWhen = read.facts.unsure?.includes('wantedTime') && !TIME_QUESTIONS.has(question?.about ?? '');
  if (read.facts.wantedTime && !unsureWhen) {
    told = withTalk(told, { wantedTime: read.facts.wantedTime });
  }
  const unknown = (read.doesNotKnow ?? []).flatMap((key) => keysOf(scene, key, question));
  if (unknown.length > 0) told = markUnknowable(told, unknown);
  const present = symptomsOf(vehicleOf(told));
  const denied = read.facts.deniedSymptoms ?? [];
  const hints = [...new Set([...told.file.conversation.hints, ...(read.ask ?? [])])]
    .filter((id) => !present.includes(id) && !denied.includes(id))
    .sort((a, b) => Number(isDanger(b)) - Number(isDanger(a)))
    .slice(0, 3);
  const cleared =
    question?.about.startsWith('hint:') && answer ? hints.filter((id) => `hint:${id}` !== question.about) : hints;
  return withTalk(told, { hints: cleared });
}

/** The records of a text; for a yes or no question the fact it asks for, for a bare number the fact it was asked for. */
function answersTo(scene: Scene, read: ReadResult, question: Question | null, messageRef: string) {
  const records = recordsOf(scene, read, messageRef);
  const asked = question && scene.tools.questions.byName.get(question.about);
  if (!asked) return records;
  const fact = asked.facts[0];
  if (!fact) return records;
  if (records.some(({ key }) => key === fact)) return records;
  const answer = spokenAnswer(read);
  const yesNo = asked.options.find(({ id }) => id === answer);
  if (yesNo?.sets) return [...records, ...recordsFrom(scene, yesNo.sets, scene.heard.text ?? '')];
  return records.map((entry) =>
    entry.key === asked.asked && !asked.facts.includes(entry.key) ? { ...entry, key: fact } : entry,
  );
}

/**
 * The answer that was given in words. "It is a 2014" says no to a year that was asked about, and nothing to the question
 * whether a kit has been fitted.
 */
function spokenAnswer({ facts, words }: ReadResult): 'yes' | 'no' | 'unclear' | undefined {
  return facts.answer === 'no' && words.answer === undefined ? undefined : facts.answer;
}

/** "Nothing wrong" anywhere, or a plain "no" to the question what is wrong, is the whole complaint: none. */
export function noComplaint(scene: Scene, read: ReadResult, question: Question | null) {
  const said = bare(scene.heard.text ?? '');
  const asked = question?.about === 'symptoms';
  if (read.facts.symptoms || (read.ask ?? []).length > 0) return [];
  if (symptomsOf(vehicleOf(scene)).length > 0 && !asked) return [];
  const none = scene.tools.questions.byName.get('symptoms')?.options.find(({ id }) => id === 'nothing');
  const phrase = none?.phrases.map(bare).find((words) => ` ${said} `.includes(` ${words} `));
  if (phrase !== undefined) return recordsFrom(scene, { symptoms: [] }, phrase);
  if (!asked) return [];
  const { answer } = scene.tools.read(scene.heard.text ?? '', { asked: 'confirm', today: scene.today }).facts;
  return answer === 'no' || said === 'none' || said === 'nothing' ? recordsFrom(scene, { symptoms: [] }, said) : [];
}

/** What the owner cannot tell: the facts of the question that was asked, else those that were named. */
function keysOf(scene: Scene, key: FactKey | 'engine', question: Question | null): readonly FactKey[] {
  const asked = question && scene.tools.questions.byName.get(question.about);
  if (asked?.asked === key) return asked.facts;
  return key === 'engine' ? (scene.tools.questions.byName.get('engine')?.facts ?? []) : [key];
}

function settle(scene: Scene, key: FactKey, answer: 'yes' | 'no' | 'unclear'): Scene {
  if (answer === 'unclear') return scene;
  return settleDoubt(scene, key, answer === 'yes');
}

/** The answer to "do you mean this symptom?"; a danger that the owner is not sure of counts as told. */
export function settleHint(scene: Scene, symptom: Symptom, answer: 'yes' | 'no' | 'unclear'): Scene {
  const hints = scene.file.conversation.hints.filter((id) => id !== symptom);
  const next = withTalk(scene, { hints });
  const present = answer === 'yes' || (answer === 'unclear' && isDanger(symptom));
  if (present) return record(next, recordsFrom(scene, { symptoms: [symptom] }, scene.heard.text ?? ''));
  return answer === 'no'
    ? record(next, recordsFrom(scene, { deniedSymptoms: [symptom] }, scene.heard.text ?? ''))
    : next;
}
