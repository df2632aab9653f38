import { describe, expect, it } from 'vitest';
import { findingLine } from '../../../src/core/model/checked.ts';
import { compileLexicon, isRead, lessonFile, lessonsOf } from '../../../src/core/understand/mod.ts';
import { languageFiles } from './values/lexicon.ts';

const compiled = (more: { path: string; text: string }[] = []) => {
  const lexicon = compileLexicon([...languageFiles(), ...more]);
  if (!lexicon.ok) throw new Error(lexicon.findings.map(findingLine).join('\n'));
  return lexicon.value;
};
const lexicon = compiled();

describe('a clause that the shop has labelled', () => {
  it('becomes a phrase without its little words, numbers as any number', () => {
    const { lessons } = lessonsOf([{ clause: 'it plays the kazoo with 40 marmots', label: 'turbo-noise' }], lexicon);
    expect(lessons).toEqual([
      {
        clause: 'it plays the kazoo with 40 marmots',
        phrase: 'plays kazoo <n> marmots',
        teaches: { symptom: 'turbo-noise' },
      },
    ]);
  });

  it.each<[clause: string, label: string, because: string]>([
    ['black smoke out the stack', 'black-smoke', 'known'],
    ['nice weather we are having', 'nothing', 'nothing'],
    ['kazoo', 'turbo-noise', 'too-short'],
    ['one two alpha beta gamma delta epsilon zeta eta theta iota kappa lambda', 'knock', 'too-long'],
    ['the kazoo plays', 'kazoo-noise', 'unknown-label'],
  ])('%j, labelled %s, gives no phrase: %s', (clause, label, because) => {
    expect(lessonsOf([{ clause, label }], lexicon)).toEqual({ lessons: [], without: [{ clause, because }] });
  });

  it('is read once its line stands in the lexicon, in other wording of its little words too', () => {
    const labelled = [
      { clause: 'the kazoo plays under my boots', label: 'vibration' },
      { clause: 'quote me the marmot treatment', label: 'intent:price' },
    ];
    const { lessons } = lessonsOf(labelled, lexicon);
    const learnt = compiled([{ path: 'flows/language/complaints-learnt.yaml', text: lessonFile(lessons) }]);
    for (const { clause, teaches } of lessons) {
      expect(isRead(clause, teaches, lexicon)).toBe(false);
      expect(isRead(clause, teaches, learnt)).toBe(true);
    }
    expect(isRead('a kazoo really plays under the boots', { symptom: 'vibration' }, learnt)).toBe(true);
  });
});
