import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { holdOf, type Block, type MoreWork, type OwnerFile, type Slot } from '../../../src/core/mod.ts';
import type { Store } from '../../../src/edges/store/types.ts';
import { START_MILLISECONDS, type TestDatabase } from './databases.ts';
import { after, NOW, request, truck, ZONE } from './made-up.ts';

const DAY = '2026-11-05';
const at = (clock: string): string => `${DAY}T${clock}:00-07:00`;
const slotOf = (from: string, to: string, more: Partial<Slot> = {}): Slot => ({
  bay: 'bay-1',
  start: at(from),
  end: at(to),
  ...more,
});
const block = (id: string, from: string, to: string, resource = 'bay-1'): Block => ({
  id,
  resource,
  start: at(from),
  end: at(to),
  because: 'the lift is inspected',
  by: 'Perrin Tockley',
  at: NOW,
});

/** What takes bays and people beside requests: blocks, and times held for owners who are not done yet. */
export function diaryContract(name: string, database: () => TestDatabase): void {
  describe(`blocks and holds on ${name}`, () => {
    let db: TestDatabase;
    let store: Store;
    beforeEach(async () => {
      db = database();
      store = await db.open();
    }, START_MILLISECONDS);
    afterEach(() => db.remove());

    const file = async (id: string): Promise<OwnerFile> => {
      const found = await store.transaction((tx) => tx.loadFile(id));
      if (!found) throw new Error('no such owner');
      return found;
    };
    const save = async (id: string, change: (file: OwnerFile) => Partial<OwnerFile>) => {
      await store.transaction(async (tx) => {
        if (await tx.loadFile(id)) return;
        await tx.addOwner({ id, channel: 'web', address: id, language: 'en', zone: ZONE, at: NOW });
      });
      const before = await file(id);
      return store.transaction((tx) =>
        tx.savepoint(async () => {
          const { outcome } = await tx.saveFile(before, { ...before, ...change(before) });
          return { keep: outcome === 'saved', value: outcome };
        }),
      );
    };
    const holding = (slot: Slot | undefined) => (of: OwnerFile) => ({
      conversation: { ...of.conversation, hold: slot && { slot, until: after(20) } },
    });
    const asking = (id: string, slot: Slot) => () => ({
      vehicles: [truck(`${id}-v`)],
      requests: [request(`${id}-q`, `${id}-v`, { slot })],
    });
    const add = (one: Block) => store.transaction((tx) => tx.addBlock(one));
    const holders = async () =>
      (await store.transaction((tx) => tx.loadDiary(DAY, DAY, ZONE, NOW))).taken.map(({ holder }) => holder);

    it('a block stands in the diary, with its reason, until it is ended', async () => {
      expect(await add(block('b1', '09:00', '12:00'))).toEqual({ outcome: 'saved' });
      expect(await holders()).toEqual(['b1']);
      const seen = await store.views.blocks('2026-11-05T00:00:00.000Z', '2026-11-06T00:00:00.000Z', ZONE);
      expect(seen).toEqual([block('b1', '09:00', '12:00')]);
      expect(await store.transaction((tx) => tx.endBlock('b1'))).toBe(true);
      expect(await store.transaction((tx) => tx.endBlock('b1'))).toBe(false);
      expect(await holders()).toEqual([]);
      expect(await save('o1', asking('o1', slotOf('09:00', '10:00')))).toBe('saved');
    });

    it.each<[string, Slot, 'taken' | 'saved']>([
      ['in the blocked bay', slotOf('11:45', '12:30'), 'taken'],
      ['right after it', slotOf('12:00', '13:00'), 'saved'],
      ['in another bay', slotOf('09:00', '10:00', { bay: 'bay-2' }), 'saved'],
    ])('no request can be kept %s', async (_where, slot, outcome) => {
      await add(block('b1', '09:00', '12:00'));
      expect(await save('o1', asking('o1', slot))).toBe(outcome);
    });

    it('a blocked person is given no job either', async () => {
      await add(block('b1', '09:00', '12:00', 'fenwick'));
      expect(await save('o1', asking('o1', slotOf('10:00', '11:00', { person: 'fenwick' })))).toBe('taken');
      expect(await save('o1', asking('o1', slotOf('10:00', '11:00', { person: 'quill' })))).toBe('saved');
    });

    it('a block names whose job stands in its way, and keeps nothing', async () => {
      await save('o1', asking('o1', slotOf('11:00', '12:00')));
      expect(await add(block('b1', '08:00', '17:00'))).toEqual({ outcome: 'taken', holders: ['o1-q'] });
      expect(await holders()).toEqual(['o1-q']);
      expect(await add(block('b2', '12:00', '17:00'))).toEqual({ outcome: 'saved' });
    });

    it('a block of many days is one block', async () => {
      const long = { ...block('b1', '00:00', '01:00'), end: '2026-12-20T00:00:00-07:00' };
      expect(await add(long)).toEqual({ outcome: 'saved' });
      expect(
        await save(
          'o1',
          asking('o1', { bay: 'bay-1', start: '2026-12-19T09:00:00-07:00', end: '2026-12-19T10:00:00-07:00' }),
        ),
      ).toBe('taken');
    });

    it('a held time is nobody else’s, stands in the diary, and is given back', async () => {
      const slot = slotOf('09:00', '11:00', { person: 'fenwick' });
      expect(await save('o1', holding(slot))).toBe('saved');
      expect(await holders()).toEqual([holdOf('o1')]);
      expect(await save('o2', holding(slotOf('10:00', '12:00')))).toBe('taken');
      expect(await save('o2', asking('o2', slotOf('10:00', '12:00', { bay: 'bay-2', person: 'fenwick' })))).toBe(
        'taken',
      );
      expect(await save('o1', holding(undefined))).toBe('saved');
      expect(await holders()).toEqual([]);
      expect(await save('o2', holding(slotOf('10:00', '12:00')))).toBe('saved');
    });

    it('the owner’s own request takes the place of the held time', async () => {
      const slot = slotOf('09:00', '11:00', { person: 'fenwick' });
      await save('o1', holding(slot));
      const both = (of: OwnerFile) => ({ ...asking('o1', slot)(), ...holding(undefined)(of) });
      expect(await save('o1', both)).toBe('saved');
      expect(await holders()).toEqual(['o1-q']);
      expect((await file('o1')).conversation.hold).toBeUndefined();
    });

    it('an owner who is forgotten holds nothing', async () => {
      await save('o1', holding(slotOf('09:00', '11:00')));
      await store.transaction((tx) => tx.forgetOwner('o1', 0, NOW));
      expect(await holders()).toEqual([]);
      expect(await save('o2', holding(slotOf('09:00', '11:00')))).toBe('saved');
    });

    it('an owner who is forgotten leaves what was approved, and not who signed and said so', async () => {
      const approved: NonNullable<MoreWork['answer']> = {
        answer: 'yes',
        items: [0],
        who: 'Invented Boss',
        how: 'phone',
        at: NOW,
        recordedBy: 'Tockley',
      };
      const moreWork: MoreWork[] = [
        {
          id: 'w1',
          askedAt: NOW,
          askedBy: 'Tockley',
          items: [{ what: 'hoses', dollars: { low: 1, high: 2 } }],
          answer: approved,
        },
      ];
      const arrival = { at: NOW, by: 'Tockley', diagnosisLimit: { dollars: 300, signedBy: 'Invented Name' } };
      await save('o1', () => ({
        vehicles: [
          truck('v1', {
            papers: { unit: '7', driver: { name: 'Invented Driver' } },
            records: [
              {
                id: 'record-1',
                date: '2026-11-02',
                odometerMiles: 1,
                services: [],
                findings: [],
                putOff: [],
                closedBy: 'Tockley',
              },
            ],
          }),
        ],
        requests: [request('q1', 'v1', { slot: null, arrival, moreWork })],
      }));
      await store.transaction((tx) => tx.forgetOwner('o1', 0, NOW));
      const left = await store.views.request('q1');
      expect(left?.request.moreWork?.[0]?.answer).toEqual({ ...approved, who: '' });
      expect(JSON.stringify([left, await store.views.vehicle('v1')])).not.toContain('Invented');
    });

    it('somebody without a chat can be entered, with the papers of a fleet’s truck', async () => {
      await store.transaction((tx) =>
        tx.addOwner({ id: 'o1', channel: 'web', address: null, language: 'en', zone: ZONE, at: NOW }),
      );
      expect(await store.transaction((tx) => tx.addressOf('o1', 'web'))).toBeUndefined();
      const papers = {
        unit: '7',
        driver: { name: 'Invented Driver' },
        approver: { name: 'Invented Boss', phone: '555-0117' },
      };
      await save('o1', () => ({ vehicles: [truck('v1', { papers })] }));
      expect((await store.views.vehicle('v1'))?.vehicle.papers).toEqual(papers);
    });
  });
}
