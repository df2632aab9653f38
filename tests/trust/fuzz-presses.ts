import fc from 'fast-check';
import { group, inTime, nextUpdate, privately, takeUpdate, unchanged, user, type Stage } from './fuzz-stage.ts';
import { hostileText } from './hostile.ts';

/** A stranger presses what only others were shown, as it is, with a part of another, or damaged. */
export async function fuzzPresses(stage: Stage, numRuns: number, seed: number): Promise<void> {
  const { system } = stage.shop;
  const before = await stage.guarded();
  const real = fc.constantFrom(...stage.victimsData);
  const parts = fc.tuple(real, real, fc.nat({ max: 4 })).map(([one, other, at]) => {
    const [head, tail] = [one.split(/(?=[:@])/), other.split(/(?=[:@])/)];
    return [...head.slice(0, at), ...tail.slice(at)].join('');
  });
  const changed = fc
    .tuple(fc.oneof(real, parts), fc.nat({ max: 63 }), fc.nat({ max: 3 }), fc.oneof(hostileText, fc.constant('')))
    .map(([data, at, cut, text]) => data.slice(0, at % data.length) + text + data.slice((at % data.length) + cut));
  const data = fc.oneof(real, parts, changed);
  let count = 0;
  await fc.assert(
    fc.asyncProperty(data, fc.constantFrom('privately', 'in a group', 'on the page'), async (pressed, where) => {
      if (where === 'on the page') {
        const postId = `press-${++count}`;
        const did = { kind: 'button', data: pressed } as const;
        await inTime('a press', system.web.post({ address: 'stranger', postId, at: system.time.now(), did }));
      } else {
        const message = { message_id: 1, chat: where === 'privately' ? privately : group };
        const body = { update_id: nextUpdate(), callback_query: { id: 'c', from: user, message, data: pressed } };
        await takeUpdate(stage, 'a press', body);
        count += 1;
      }
      if (count % 25 === 0) await inTime('the desk', system.desk.drain());
    }),
    { numRuns, seed },
  );
  await system.desk.drain();
  unchanged(before, await stage.guarded());
}
