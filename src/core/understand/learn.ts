import { INTENTS, SYMPTOMS, type Intent, type Symptom } from '../model/ids.ts';
import { read, type Lexicon } from './read.ts';
import { tokenise } from './text.ts';

/** What the shop says a clause means: a symptom, a wish written `intent:ID`, or nothing at all. */
export interface LabelledClause {
  clause: string;
  label: string;
}

/** A phrase of the lexicon that a labelled clause gave. */
export interface Lesson {
  clause: string;
  /** Folded words; `<n>` stands for any number. */
  phrase: string;
  teaches: { symptom: Symptom } | { intent: Intent };
}

/** Why a labelled clause gives no phrase. */
export interface NoLesson {
  clause: string;
  because: 'known' | 'nothing' | 'too-long' | 'too-short' | 'unknown-label';
}

/** Words that carry meaning: a longer clause is told once and never again; it would only make the lexicon slower. */
const MOST_WORDS = 9;

/**
 * Turns labelled clauses into phrases: the words as they are folded, little words left out, numbers as `<n>`. A clause that is read already, that means nothing, or that is too long or too short to come again gives none.
 */
export function lessonsOf(
  labelled: readonly LabelledClause[],
  lexicon: Lexicon,
): { lessons: Lesson[]; without: NoLesson[] } {
  const lessons: Lesson[] = [];
  const without: NoLesson[] = [];
  const seen = new Set<string>();
  for (const { clause, label } of labelled) {
    const teaches = meaningOf(label);
    if (teaches === undefined || teaches === 'nothing') {
      without.push({ clause, because: teaches ?? 'unknown-label' });
      continue;
    }
    if (isRead(clause, teaches, lexicon)) {
      without.push({ clause, because: 'known' });
      continue;
    }
    const words = wordsOf(clause, lexicon.complaints.joints.fillers);
    const telling = words.filter((word) => word !== '<n>').length;
    if (telling < 2 || telling > MOST_WORDS) {
      without.push({ clause, because: telling < 2 ? 'too-short' : 'too-long' });
      continue;
    }
    const phrase = words.join(' ');
    const key = `${label} ${phrase}`;
    if (!seen.has(key)) lessons.push({ clause, phrase, teaches });
    seen.add(key);
  }
  return { lessons, without };
}

/** True where a clause reads as what it teaches. */
export function isRead(clause: string, teaches: Lesson['teaches'], lexicon: Lexicon): boolean {
  const { facts } = read({ text: clause }, lexicon);
  if ('intent' in teaches) return facts.intent === teaches.intent;
  return facts.symptoms?.includes(teaches.symptom) ?? false;
}

/** The lessons as a file of flows/language, with what it held before; ids and phrases in order. */
export function lessonFile(lessons: readonly Pick<Lesson, 'phrase' | 'teaches'>[]): string {
  const sections = { symptoms: new Map<string, Set<string>>(), intents: new Map<string, Set<string>>() };
  for (const { phrase, teaches } of lessons) {
    const [section, id] =
      'symptom' in teaches ? [sections.symptoms, teaches.symptom] : [sections.intents, teaches.intent];
    const phrases = section.get(id) ?? new Set<string>();
    phrases.add(phrase);
    section.set(id, phrases);
  }
  const lines = [
    '# What owners wrote and nobody had foreseen, as the shop has labelled it. `telltale learn --write` adds to this file.',
  ];
  for (const [name, section] of Object.entries(sections)) {
    if (section.size === 0) continue;
    lines.push('', `${name}:`);
    for (const [id, phrases] of [...section].sort()) {
      lines.push(`  ${id}:`, `    phrases: "${[...phrases].sort().join(', ')}"`);
    }
  }
  return `${lines.join('\n')}\n`;
}

function meaningOf(label: string): Lesson['teaches'] | 'nothing' | undefined {
  if (label === 'nothing') return 'nothing';
  const symptom = SYMPTOMS.find((id) => id === label);
  if (symptom) return { symptom };
  const intent = INTENTS.find((id) => label === `intent:${id}`);
  return intent ? { intent } : undefined;
}

/** The words that carry meaning; between the words of a phrase the reader passes over little ones anyway. */
const wordsOf = (clause: string, fillers: ReadonlySet<string>): string[] =>
  tokenise(clause)
    .filter(({ kind }) => kind !== 'mark')
    .map(({ kind, text }) => (kind === 'number' ? '<n>' : text))
    .filter((word) => !fillers.has(word));
