import { describe, expect, it } from 'vitest';
import { inDays, NOW, ownerFile, pickup, talkOf, waiting } from './owner-files.ts';

/** Asked for the odometer of the one truck; our guess is about 98,500. */
const asked = () => {
  const talk = talkOf(ownerFile([pickup('a', 97_000, 90_000)], [waiting('fa', 'odometer-check', 'a')]));
  talk.clock('fa');
  return talk;
};
const planned = (talk: ReturnType<typeof asked>) => talk.file.followUps.filter(({ state }) => state === 'waiting');

describe('an odometer question', () => {
  it('names the truck, shows our guess, and has a button for each usual answer', () => {
    const talk = talkOf(ownerFile([pickup('a', 97_000, 90_000)], [waiting('fa', 'odometer-check', 'a')]));
    const [question, ...more] = talk.clock('fa').replies;
    expect(question?.text).toMatch(/your 2018 6\.7 L V8 .*about 98,500/);
    expect(question?.buttons.map(({ label }) => label)).toEqual([
      'Roughly that',
      'Later',
      'Sold it',
      'No more reminders',
    ]);
    expect(more).toEqual([]);
  });

  it.each(['I looked: it is 98,900', '98900', "it's 98.9k"])('takes "%s" as a reading', (words) => {
    const talk = asked();
    talk.says(words);
    expect(talk.file.vehicles[0]?.readings.at(-1)).toMatchObject({ miles: 98_900, date: NOW.slice(0, 10) });
    expect(talk.file.followUps.find(({ id }) => id === 'fa')?.state).toBe('answered');
    expect(planned(talk)).toHaveLength(1);
  });

  it.each(['Roughly that', 'about right', "that's close", 'sounds about right'])(
    'keeps our guess as the owner’s and as no reading: "%s"',
    (words) => {
      const talk = asked();
      talk.says(words);
      expect(talk.file.vehicles[0]?.readings).toHaveLength(2);
      const { state, log } = talk.file.followUps.find(({ id }) => id === 'fa') ?? {};
      expect(state).toBe('answered');
      expect(log?.at(-1)).toMatchObject({ what: 'answered-roughly', guess: 98_500 });
    },
  );

  it('comes again two weeks after "later", and not before', () => {
    const talk = asked();
    talk.taps('Later');
    expect(planned(talk).map(({ id, dueAt }) => [id, dueAt])).toEqual([['fa', inDays(14)]]);
  });

  it.each([
    ['sold it', 'sold'],
    ['I sold the truck last month', 'sold'],
    ['traded it in for a newer one', 'sold'],
    ['the truck has a new owner', 'sold'],
    ['my brother owns it now', 'sold'],
    ['se la vendí a mi primo', 'sold'],
    ['it went to the scrap yard', 'scrapped'],
    ['totaled it in March', 'scrapped'],
  ] as const)('closes the truck cleanly: "%s"', (words, state) => {
    const talk = asked();
    const { replies } = talk.says(words);
    expect(talk.file.vehicles[0]?.state).toBe(state);
    expect(planned(talk)).toEqual([]);
    expect(talk.file.owner.optedOutAt).toBeUndefined();
    expect(replies).toHaveLength(1);
  });

  it.each(['I moved away', 'we moved to Oregon', 'me mudé a Texas'])(
    'writes no more to whoever has moved: "%s"',
    (words) => {
      const talk = asked();
      talk.says(words);
      expect(talk.file.owner.optedOutAt).toBe(NOW);
      expect(talk.file.vehicles[0]?.state).toBe('active');
      expect(planned(talk)).toEqual([]);
      talk.says('start');
      expect(talk.file.owner.optedOutAt).toBeUndefined();
      expect(planned(talk)).toHaveLength(1);
    },
  );

  it.each([
    'I have not sold it',
    'not sold yet',
    'thinking about selling it',
    'when I sold the last truck it was the same',
    'is it sold?',
    'can you move it to Monday',
  ])('does not take "%s" for a truck that is gone', (words) => {
    const talk = asked();
    talk.says(words);
    expect(talk.file.vehicles[0]?.state).toBe('active');
    expect(talk.file.owner.optedOutAt).toBeUndefined();
  });

  it('may be answered by a complaint, which comes first', () => {
    const talk = asked();
    const { replies } = talk.says('98,900 and it leaks fuel');
    expect(replies[0]?.text).toMatch(/pull over/);
    expect(talk.file.vehicles[0]?.readings.at(-1)?.miles).toBe(98_900);
  });

  it('may be answered by a booking', () => {
    const talk = asked();
    talk.says('can I book it for Friday');
    expect(talk.file.conversation.matter).not.toBeNull();
  });
});

it('an owner who cannot be reached goes to the call list, and comes off it by writing', () => {
  const talk = asked();
  talk.happens({ kind: 'unreachable', channel: 'telegram', because: 'blocked' });
  expect(talk.file.followUps.map(({ state }) => state)).toContain('call-list');
  expect(talk.file.followUps.some(({ state }) => state === 'waiting')).toBe(false);
  const at = talk.file.followUps.find(({ state }) => state === 'call-list');
  expect(at?.log.at(-1)?.what).toBe('unreachable');
  talk.says('98,900');
  expect(talk.file.owner.unreachableSince).toBeUndefined();
});
