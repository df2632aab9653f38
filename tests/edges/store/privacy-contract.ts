import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { createDesk, type Desk } from '../../../src/edges/desk/desk.ts';
import { createClock } from '../../../src/edges/clock/clock.ts';
import type { Store } from '../../../src/edges/store/types.ts';
import { START_MILLISECONDS, type TestDatabase } from './databases.ts';
import { after, madeUpTurn, NOW, request, says, silent, truck, ZONE } from './made-up.ts';

/** What is kept, for how long, and what remains of an owner who asked to be forgotten. */
export function privacyContract(name: string, database: () => TestDatabase): void {
  describe(`personal data on ${name}`, () => {
    let db: TestDatabase;
    let store: Store;
    let desk: Desk;
    let now: string;

    beforeEach(async () => {
      db = database();
      store = await db.open();
      now = NOW;
      desk = createDesk({
        store,
        turn: madeUpTurn,
        flows: {},
        clock: () => now,
        zone: ZONE,
        log: silent,
        apology: () => 'Sorry.',
        newOwnerId: () => `o-${ids++}`,
      });
    }, START_MILLISECONDS);
    let ids = 1;
    afterEach(async () => {
      await desk.stop();
      await db.remove();
    });

    const tell = async (...texts: string[]) => {
      for (const text of texts) await desk.receive([says(text)]);
      await desk.drain();
    };
    const ownerAt = async (address = 'a1') => (await store.views.ownerAt('web', address)) ?? '';
    const load = async (id: string) => {
      const file = await store.transaction((tx) => tx.loadFile(id));
      if (!file) throw new Error('no such owner');
      return file;
    };
    /** An owner with a name, a truck that was worked on, one that was not, an open request and a picture. */
    const known = async () => {
      await tell('my name is Invented', 'the VIN is a secret');
      const id = await ownerAt();
      await store.transaction(async (tx) => {
        const file = await load2(tx, id);
        await tx.saveFile(file, {
          ...file,
          owner: { ...file.owner, name: 'Invented Name', phone: '+14065550123', optedOutAt: NOW },
          vehicles: [
            truck('worked-on', {
              facts: [
                { key: 'vin', value: 'ZZ000000000000001', source: 'owner', sure: true, at: NOW, words: 'secret words' },
                { key: 'modelYear', value: 2015, source: 'owner', sure: true, at: NOW, words: 'secret words' },
              ],
              records: [
                {
                  id: 's1',
                  date: '2026-05-02',
                  odometerMiles: 97_000,
                  services: ['fuel-filter-service'],
                  findings: [],
                  putOff: [{ service: 'intake-cleaning', because: 'wants to wait' }],
                  closedBy: 'Invented Technician',
                },
              ],
            }),
            truck('only-asked-about'),
          ],
          requests: [
            request('q1', 'worked-on', {
              complaint: ['secret words'],
              facts: [
                { key: 'vin', value: 'ZZ000000000000001', source: 'owner', sure: true, at: NOW },
                { key: 'modelYear', value: 2015, source: 'owner', sure: true, at: NOW, words: 'secret words' },
              ],
              history: [{ at: NOW, by: 'owner', what: 'requested', note: 'secret words' }],
            }),
          ],
        });
        await tx.addMedia([
          {
            id: 'p1',
            ownerId: id,
            channel: 'web',
            at: NOW,
            content: { bytes: new Uint8Array([1]), mediaType: 'image/jpeg' },
          },
        ]);
      });
      return id;
    };
    type Tx = Parameters<Parameters<Store['transaction']>[0]>[0];
    const load2 = async (tx: Tx, id: string) => {
      const file = await tx.loadFile(id);
      if (!file) throw new Error('no such owner');
      return file;
    };

    describe('forgetting', () => {
      it('leaves the repair record and nothing of the person', async () => {
        const id = await known();
        await tell('forget me');
        const file = await load(id);
        expect(file.owner).toMatchObject({ id });
        expect(file.owner).not.toHaveProperty('name');
        expect(file.owner).not.toHaveProperty('phone');
        expect(file.vehicles.map((vehicle) => vehicle.id)).toEqual(['worked-on']);
        expect(file.vehicles[0]?.records).toHaveLength(1);
        expect(file.vehicles[0]?.facts.map(({ key }) => key)).toEqual(['modelYear']);
        expect(file.requests[0]).toMatchObject({ state: 'cancelled', complaint: [], photos: [] });
        expect(JSON.stringify(file)).not.toMatch(/secret|ZZ0000|Invented Name|555/);
        expect(await store.views.picture('p1')).toBeUndefined();
        expect(await store.views.talk(id)).toEqual([]);
        expect(await store.views.ownerAt('web', 'a1')).toBeUndefined();
        const diary = await store.transaction((tx) => tx.loadDiary('2026-11-05', '2026-11-05', ZONE, NOW));
        expect(diary.taken).toEqual([]);
      });

      it('still says goodbye, and holds the goodbye no longer once it is sent', async () => {
        await known();
        await tell('forget me');
        const heads = () => store.transaction((tx) => tx.outboxHeads(['web'], NOW, 10, () => false));
        const [goodbye] = await heads();
        expect(goodbye?.reply.text).toBe('Forgotten.');
        await store.transaction((tx) => tx.outboxSent(goodbye?.id ?? '', NOW));
        expect(await heads()).toEqual([]);
        expect((await store.figures(NOW)).outboxWaiting).toBe(0);
      });

      it('knows the same message again, although its words are gone', async () => {
        await known();
        await tell('forget me');
        await desk.receive([says('forget me')]);
        expect(await desk.drain()).toBe(0);
      });

      it('takes what the same address wrote afterwards for a new owner', async () => {
        const id = await known();
        await tell('forget me', 'hello, new here', 'odometer 5000');
        const next = await ownerAt();
        expect(next).not.toBe(id);
        const lines = (await store.views.talk(next)).map(({ text }) => text);
        expect(lines).toEqual(['hello, new here', 'you said: hello, new here', 'odometer 5000', 'noted 5000']);
        expect((await load(next)).vehicles[0]?.readings[0]?.miles).toBe(5000);
      });

      it('remembers an opt-out, though not whose, when the same address writes again', async () => {
        const id = await known();
        await tell('forget me');
        await desk.receive([says('hello again'), says('hello', 'another')]);
        await desk.drain();
        const again = await ownerAt();
        expect(again).not.toBe(id);
        expect((await load(again)).owner.optedOutAt).toBe(NOW);
        expect((await load(await ownerAt('another'))).owner).not.toHaveProperty('optedOutAt');
      });
    });

    it('removes what has been kept long enough, and nothing that waits', async () => {
      await tell('old');
      const id = await ownerAt();
      const clock = createClock({
        store,
        receiveTimes: (due) => desk.receiveTimes(due),
        clock: () => now,
        log: silent,
        keepDays: { inbox: 30, messages: 60 },
      });
      const texts = async () => (await store.views.talk(id)).map(({ from, text }) => `${from}: ${text}`);
      const [head] = await store.transaction((tx) => tx.outboxHeads(['web'], NOW, 1, () => false));

      now = after(29 * 24 * 60);
      expect(await clock.prune()).toMatchObject({ inbox: 0, messages: 0, outbox: 0 });
      const { event, ...fresh } = says('new');
      await desk.receive([{ ...fresh, event: { ...event, at: now } }]);
      await desk.drain();
      now = after(31 * 24 * 60);
      expect(await clock.prune()).toMatchObject({ inbox: 1, messages: 0, outbox: 0 });
      // Known by its id for 30 days; after that it would be taken for a new one.
      await desk.receive([says('new')]);
      expect(await desk.drain()).toBe(0);

      now = after(61 * 24 * 60);
      expect(await clock.prune()).toMatchObject({ inbox: 1, messages: 1, outbox: 0 });
      expect(await texts()).toEqual(['shop: you said: old', 'owner: new', 'shop: you said: new']);
      await store.transaction((tx) => tx.outboxSent(head?.id ?? '', now));
      expect(await clock.prune()).toMatchObject({ outbox: 1 });
      expect(await texts()).toEqual(['owner: new', 'shop: you said: new']);
    });

    describe('one owner on two channels', () => {
      const opens = (payload: string, address = 't1') => ({
        channel: 'telegram' as const,
        address,
        externalId: `start:${address}:${payload}`,
        event: { kind: 'opened' as const, channel: 'telegram' as const, at: NOW, payload },
      });
      const offered = async () => {
        await tell('link');
        const lines = await store.views.talk(await ownerAt());
        return lines.at(-1)?.text.replace('Your code: ', '') ?? '';
      };

      it('is joined by the code that was carried over, with all that the other chat gathered', async () => {
        await desk.receive([{ ...says('odometer 97000', 't1'), channel: 'telegram' }]);
        await desk.drain();
        await tell('odometer 98000');
        const code = await offered();
        await desk.receive([opens(`link_${code}`)]);
        await desk.drain();
        const id = await ownerAt();
        expect(await store.views.ownerAt('telegram', 't1')).toBe(id);
        const file = await load(id);
        expect(file.vehicles.map(({ readings }) => readings[0]?.miles)).toEqual([98_000, 97_000]);
        expect(await store.transaction((tx) => tx.addressOf(id, 'telegram'))).toBe('t1');
        expect((await store.figures(NOW)).owners).toBe(1);
      });

      it.each([
        ['a second time', 0, true],
        ['after an hour', 61, false],
      ])('is not joined by a code used %s', async (_when, minutes, used) => {
        const code = await offered();
        if (used) await desk.receive([opens(code, 'first')]);
        now = after(minutes);
        await desk.receive([opens(code, 'second')]);
        await desk.drain();
        expect(await store.views.ownerAt('telegram', 'second')).not.toBe(await ownerAt());
      });
    });

    it('keeps pictures by their state until their bytes are there', async () => {
      await desk.receive([
        { ...says('look'), channel: 'telegram', photos: [{ mediaId: 'p1', source: { fileId: 'file-1' } }] },
      ]);
      await desk.drain();
      const expected = () => store.transaction((tx) => tx.expectedMedia('telegram', now, 10));
      expect(await expected()).toEqual([{ id: 'p1', channel: 'telegram', fileId: 'file-1', attempts: 0 }]);
      await store.transaction((tx) => tx.mediaLater('p1', after(1)));
      expect(await expected()).toEqual([]);
      now = after(1);
      expect(await expected()).toMatchObject([{ id: 'p1', attempts: 1 }]);
      const bytes = new Uint8Array([255, 216, 255, 0]);
      await store.transaction((tx) => tx.mediaStored('p1', bytes, 'image/jpeg'));
      expect(await expected()).toEqual([]);
      const picture = await store.views.picture('p1');
      expect(picture?.mediaType).toBe('image/jpeg');
      expect([...(picture?.bytes ?? [])]).toEqual([...bytes]);
    });
  });
}
