import { describe, expect, it } from 'vitest';
import { FOLLOW_UP_EVENTS, PLAN_REASONS, type FollowUpEntry } from '../../../src/core/mod.ts';
import { StoredEntry } from '../../../src/edges/store/follow-up-log.ts';
import { readFlowsFolder } from '../../../src/flows-folder.ts';
import { compileFlows } from '../../../src/core/mod.ts';

const AT = '2027-02-02T17:00:00.000Z';
const stored = (what: string, details = {}) => StoredEntry.parse({ at: AT, what, ...details });

describe('an entry of a follow-up’s log, as it was stored', () => {
  it.each(FOLLOW_UP_EVENTS)('is read back as the code that it is: %s', (what) => {
    expect(stored(what)).toEqual({ at: AT, what });
  });

  it('keeps what belongs to the code', () => {
    const planned: FollowUpEntry = { at: AT, what: 'planned', date: '2027-03-01', because: 'silent' };
    expect(StoredEntry.parse(planned)).toEqual(planned);
  });

  it.each<[string, Partial<FollowUpEntry>]>([
    ['planned for 2027-03-01: not-sure-enough', { what: 'planned', date: '2027-03-01', because: 'not-sure-enough' }],
    ['planned for 2027-03-01: of-a-later-release', { what: 'planned', date: '2027-03-01' }],
    ["answered: roughly 118400, the owner's guess and no reading", { what: 'answered-roughly', guess: 118_400 }],
    ['answered with a later one', { what: 'answered-with-later' }],
    ['not yet: outside the hours or too soon after the last message', { what: 'not-yet-limits' }],
    ['held for 20 minutes', { what: 'held', minutes: 20 }],
    ['no answer to any offer: for the shop to phone', { what: 'no-answer-phone' }],
    ['truck sold', { what: 'truck-gone' }],
    ['cannot be reached', { what: 'unreachable' }],
  ])('of an earlier release, "%s", becomes its code', (words, entry) => {
    expect(stored(words)).toEqual({ at: AT, ...entry });
  });

  it('loses nothing of words that nobody knows any more', () => {
    expect(stored('constructor')).toEqual({ at: AT, what: 'noted', words: 'constructor' });
    expect(stored('the moon was full')).toEqual({ at: AT, what: 'noted', words: 'the moon was full' });
  });
});

describe('the words for it', () => {
  const flows = compileFlows(readFlowsFolder());
  if (!flows.ok) throw new Error('flows/ is not sound');
  const { ids } = flows.value.texts;

  it.each(FOLLOW_UP_EVENTS.filter((what) => what !== 'noted'))('stand in flows for %s', (what) => {
    expect(ids.has(`log-${what}`)).toBe(true);
  });
  it.each(PLAN_REASONS)('stand in flows for the reason %s', (reason) => {
    expect(ids.has(`reason-${reason}`)).toBe(true);
  });
});
