import { describe, expect, it } from 'vitest';
import { inDays, NOW, ownerFile, pickup, talkOf, waiting } from './owner-files.ts';

/** Unit 4 has its filter due, unit 7 is far from it, unit 9 is not due within two weeks, unit 12 was sold. */
const fleet = () =>
  talkOf(
    ownerFile(
      [
        pickup('t4', 120_000, 98_000, '4'),
        pickup('t7', 97_000, 90_000, '7'),
        pickup('t9', 60_000, 58_000, '9'),
        { ...pickup('t12', 80_000, 60_000, '12'), state: 'sold' },
      ],
      [
        waiting('f4', 'service-due', 't4'),
        waiting('f7', 'odometer-check', 't7', inDays(9)),
        waiting('f9', 'odometer-check', 't9', inDays(15)),
        waiting('f12', 'odometer-check', 't12'),
      ],
    ),
  );
const states = (talk: ReturnType<typeof fleet>) =>
  Object.fromEntries(
    talk.file.followUps.filter(({ id }) => /^f\d/.test(id) && !id.includes('i')).map((one) => [one.id, one.state]),
  );

describe('a fleet', () => {
  it('gets one message for all that falls due within two weeks, and it counts once', () => {
    const talk = fleet();
    const { replies, effects } = talk.clock('f4');
    expect(replies).toHaveLength(1);
    expect(replies[0]?.unasked).toBe(true);
    expect(replies[0]?.text).toMatch(/unit 4: .*filter.* at 120,000 miles/);
    expect(replies[0]?.text).toMatch(/unit 7: about \d\d,\d00 miles/);
    expect(replies[0]?.text).not.toMatch(/unit (9|12):/);
    expect(replies[0]?.buttons.map(({ label }) => label)).toEqual(['Times for unit 4', 'Later', 'No more reminders']);
    expect(states(talk)).toMatchObject({ f4: 'sent', f7: 'sent', f9: 'waiting' });
    expect(talk.file.unaskedAt).toEqual([NOW]);
    expect(effects.filter((effect) => effect.do === 'log-forecast')).toHaveLength(2);
  });

  it('answers with a list in one go, and is told what is due now', () => {
    const talk = fleet();
    talk.clock('f4');
    const { replies } = talk.says('unit 4 121200, unit 7 98,900');
    expect(replies).toHaveLength(1);
    expect(replies[0]?.text).toMatch(/unit 4: 121,200 miles/);
    expect(replies[0]?.text).toMatch(/unit 7: 98,900 miles/);
    expect(replies[0]?.buttons.map(({ label }) => label)).toEqual(['Times for unit 4', 'Later']);
    expect(states(talk)).toMatchObject({ f4: 'answered', f7: 'answered' });
    expect(talk.file.vehicles.map(({ readings }) => readings.at(-1)?.miles)).toEqual([121_200, 98_900, 60_000, 80_000]);
  });

  it('takes up one truck’s service with a tap', () => {
    const talk = fleet();
    talk.clock('f4');
    const offered = talk.taps('Times for unit 4');
    expect(offered.replies[0]?.text).toMatch(/unit 4/);
    expect(offered.replies[0]?.unasked).toBeUndefined();
    expect(talk.file.conversation.vehicleId).toBe('t4');
    expect(talk.file.conversation.question?.about).toBe('service-offer');
  });

  it('names a number that does not fit and keeps the rest', () => {
    const talk = fleet();
    talk.clock('f4');
    const { replies } = talk.says('unit 4 12120, unit 7 98900');
    expect(replies[0]?.text).toMatch(/unit 4: 12,120 is not taken/);
    expect(states(talk)).toMatchObject({ f4: 'sent', f7: 'answered' });
  });

  it('is written to again about all of it, two weeks after "later"', () => {
    const talk = fleet();
    talk.clock('f4');
    talk.taps('Later');
    const again = talk.file.followUps.filter(({ id }) => id === 'f4' || id === 'f7');
    expect(again.map(({ state, dueAt }) => [state, dueAt])).toEqual([
      ['waiting', inDays(14)],
      ['waiting', inDays(14)],
    ]);
    talk.at(inDays(14));
    const { replies } = talk.clock('f7');
    expect(replies[0]?.text).toMatch(/unit 4: [^]*unit 7: /);
  });

  it('ends with "stop", for all trucks', () => {
    const talk = fleet();
    talk.clock('f4');
    talk.taps('No more reminders');
    expect(talk.file.owner.optedOutAt).toBe(NOW);
    expect(talk.file.followUps.some(({ state }) => state === 'waiting')).toBe(false);
  });

  it('is written to about one truck as any owner is, where nothing else falls due', () => {
    const talk = fleet();
    const { replies } = talk.clock('f9');
    expect(replies).toHaveLength(1);
  });
});

it('owners of two trucks without unit numbers are written to truck by truck', () => {
  const talk = talkOf(
    ownerFile(
      [pickup('a', 97_000, 90_000), pickup('b', 60_000, 50_000)],
      [waiting('fa', 'odometer-check', 'a'), waiting('fb', 'odometer-check', 'b')],
    ),
  );
  talk.clock('fa');
  expect(talk.file.conversation.question).toMatchObject({ about: 'odometer-check', vehicleId: 'a' });
  expect(talk.file.followUps.find(({ id }) => id === 'fb')?.state).toBe('waiting');
});
