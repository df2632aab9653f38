import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { BookingRequest, FactRecord, FollowUp, OwnerFile, Reading, Vehicle } from '../../../src/core/mod.ts';
import type { Store } from '../../../src/edges/store/types.ts';
import { START_MILLISECONDS, type TestDatabase } from './databases.ts';
import { after, followUp, NOW, request, truck, ZONE } from './made-up.ts';

/** What the pages read, and that saving by difference comes to the same as saving everything. */
export function viewsContract(name: string, database: () => TestDatabase): void {
  describe(`the pages' views on ${name}`, () => {
    let db: TestDatabase;
    let store: Store;

    beforeEach(async () => {
      db = database();
      store = await db.open();
    }, START_MILLISECONDS);
    afterEach(() => db.remove());

    const owner = async (id: string, how: (file: OwnerFile) => Partial<OwnerFile> = () => ({})) => {
      await store.transaction(async (tx) => {
        await tx.addOwner({ id, channel: 'web', address: id, language: 'en', zone: ZONE, at: NOW });
        const file = await tx.loadFile(id);
        if (!file) throw new Error('no such owner');
        await tx.saveFile(file, { ...file, ...how(file) });
      });
    };
    const slot = (day: string, bay = 'bay-1') => ({
      slot: { bay, start: `2026-11-${day}T09:00:00-07:00`, end: `2026-11-${day}T10:00:00-07:00` },
    });

    it('lists requests by state, the newest first, with who asked', async () => {
      await owner('o1', (file) => ({
        owner: { ...file.owner, name: 'Invented Name', optedOutAt: NOW },
        vehicles: [truck('v1')],
        requests: [
          request('old', 'v1', { createdAt: after(-60), ...slot('05') }),
          request('new', 'v1', slot('06')),
          request('declined', 'v1', { state: 'declined', ...slot('07') }),
        ],
      }));
      const views = await store.views.requests(['requested', 'accepted']);
      expect(views.map((view) => view.request.id)).toEqual(['new', 'old']);
      expect(views[0]?.owner).toMatchObject({ id: 'o1', name: 'Invented Name', optedOut: true, unreachable: false });
      expect((await store.views.request('declined'))?.request.state).toBe('declined');
      expect(await store.views.request('none')).toBeUndefined();
    });

    it.each([
      ['the day itself', '2026-11-05T07:00:00.000Z', '2026-11-06T07:00:00.000Z', ['a', 'b']],
      ['the week', '2026-11-02T07:00:00.000Z', '2026-11-09T07:00:00.000Z', ['a', 'b', 'c']],
      ['an hour that one of them ends in', '2026-11-05T16:45:00.000Z', '2026-11-05T17:45:00.000Z', ['a', 'b']],
      ['the moment they end', '2026-11-05T17:00:00.000Z', '2026-11-05T18:00:00.000Z', []],
    ])('shows what the bays hold on %s', async (_what, from, to, expected) => {
      await owner('o1', () => ({
        vehicles: [truck('v1')],
        requests: [
          request('a', 'v1', slot('05')),
          request('b', 'v1', { state: 'closed', ...slot('05', 'bay-2') }),
          request('c', 'v1', slot('08')),
          request('d', 'v1', { state: 'cancelled', ...slot('05') }),
        ],
      }));
      const views = await store.views.booked(from, to);
      expect(views.map((view) => view.request.id).sort()).toEqual(expected);
    });

    it('lists what is due, who is to be called, and the truck it is about', async () => {
      await owner('o1', () => ({
        vehicles: [truck('v1'), truck('v2')],
        followUps: [
          followUp('due', after(-1), { vehicleId: 'v2' }),
          followUp('overdue', after(-100), { vehicleId: 'v1' }),
          followUp('not yet', after(100)),
          followUp('call', after(-5), { state: 'call-list', vehicleId: 'v1' }),
        ],
      }));
      const due = await store.views.due(NOW);
      expect(due.map(({ followUp: one, vehicle }) => [one.id, vehicle?.id])).toEqual([
        ['overdue', 'v1'],
        ['due', 'v2'],
      ]);
      expect((await store.views.callList()).map(({ followUp: one }) => one.id)).toEqual(['call']);
    });

    it('finds a truck by its owner, phone, VIN or id, and takes signs for what they are', async () => {
      const vin: FactRecord = { key: 'vin', value: 'ZZ1AB2CD3EF456789', source: 'vin', sure: true, at: NOW };
      await owner('o1', (file) => ({
        owner: { ...file.owner, name: 'Invented Name', phone: '+14065550123' },
        vehicles: [truck('v1', { facts: [vin] })],
        requests: [request('q1', 'v1')],
        followUps: [followUp('f1', NOW, { vehicleId: 'v1' })],
      }));
      // As a person at the counter writes a number, and as they look for it.
      await owner('o2', (file) => ({ owner: { ...file.owner, phone: '(303) 555-0171' }, vehicles: [truck('v2')] }));
      await owner('o3', (file) => ({ owner: { ...file.owner, name: 'A 50%_Off Name' }, vehicles: [truck('v3')] }));
      const found = async (words: string) => (await store.views.search(words)).map(({ vehicle }) => vehicle.id);
      expect(await found('invented')).toEqual(['v1']);
      expect(await found('555-0123')).toEqual(['v1']);
      expect(await found('3035550171')).toEqual(['v2']);
      expect(await found('303-555')).toEqual(['v2']);
      expect(await found('cd3ef')).toEqual(['v1']);
      expect(await found('v2')).toEqual(['v2']);
      expect(await found('50%_off')).toEqual(['v3']);
      for (const words of ['', '  ', '%%', '__', "'; drop table owners; --", '12', 'nobody']) {
        expect(await found(words)).toEqual([]);
      }
      const view = await store.views.vehicle('v1');
      expect(view?.requests.map(({ id }) => id)).toEqual(['q1']);
      expect(view?.followUps.map(({ id }) => id)).toEqual(['f1']);
      expect((await store.views.vehicles()).map(({ vehicle }) => vehicle.id)).toEqual(['v1', 'v2', 'v3']);
      expect((await store.views.vehicles(1, 'v1')).map(({ vehicle }) => vehicle.id)).toEqual(['v2']);
    });

    it('lists the work that was put off', async () => {
      const record = {
        id: 's1',
        date: '2026-05-02',
        odometerMiles: 97_000,
        services: ['fuel-filter-service' as const],
        findings: [],
        closedBy: 'Invented Technician',
      };
      const putOff = [{ service: 'intake-cleaning' as const, because: 'wants to wait' }];
      await owner('o1', () => ({
        vehicles: [
          truck('v1', {
            records: [
              { ...record, putOff },
              { ...record, id: 's2', putOff: [] },
            ],
          }),
        ],
      }));
      const [first, ...more] = await store.views.putOff();
      expect(first).toMatchObject({
        vehicleId: 'v1',
        recordId: 's1',
        service: 'intake-cleaning',
        odometerMiles: 97_000,
      });
      expect(more).toEqual([]);
    });

    it('keeps what nothing read, for the shop to label', async () => {
      await owner('o1');
      await store.transaction((tx) =>
        tx.addUnread([{ id: 'u1', ownerId: 'o1', at: NOW, text: 'she is doing the thing', asked: 'symptoms' }]),
      );
      await store.views.labelUnread('u1', 'stalls', 's1', after(1));
      expect(await store.views.unread()).toEqual([
        { id: 'u1', at: NOW, text: 'she is doing the thing', asked: 'symptoms', label: 'stalls', labelledBy: 's1' },
      ]);
    });

    describe('saving by difference', () => {
      const fact: fc.Arbitrary<FactRecord> = fc.record({
        key: fc.constantFrom('modelYear', 'odometerMiles', 'tows', 'symptoms'),
        value: fc.oneof(fc.integer({ min: 0, max: 5_000_000 }), fc.boolean(), fc.constant(['stalls'])),
        source: fc.constantFrom('owner', 'vin', 'staff', 'derived'),
        sure: fc.boolean(),
        at: fc.constantFrom(NOW, after(1)),
      }) as fc.Arbitrary<FactRecord>;
      const named = <T>(ids: string[], one: (id: string) => fc.Arbitrary<T>) =>
        fc
          .subarray(ids)
          .chain((chosen) => fc.shuffledSubarray(chosen, { minLength: chosen.length }))
          .chain((chosen) => fc.tuple(...chosen.map(one)));
      const reading = (id: string): fc.Arbitrary<Reading> =>
        fc.record({
          id: fc.constant(id),
          miles: fc.integer({ min: 0, max: 5_000_000 }),
          date: fc.constantFrom('2026-05-02', '2026-11-02'),
          source: fc.constantFrom('owner', 'staff'),
        });
      const vehicle = (id: string): fc.Arbitrary<Vehicle> =>
        fc.record({
          id: fc.constant(id),
          state: fc.constantFrom('active', 'sold', 'scrapped'),
          facts: fc.array(fact, { maxLength: 4 }),
          unknowable: fc.subarray(['vin', 'tows'] as const),
          readings: named([`${id}-r1`, `${id}-r2`, `${id}-r3`], reading),
          records: fc.constant([]),
          createdAt: fc.constant(NOW),
        }) as fc.Arbitrary<Vehicle>;
      const booking = (id: string): fc.Arbitrary<BookingRequest> =>
        fc
          .record({
            state: fc.constantFrom('requested', 'accepted', 'cancelled', 'closed'),
            revision: fc.integer({ min: 1, max: 9 }),
            hour: fc.constantFrom('08', '09', '10'),
            none: fc.boolean(),
          })
          .map(({ state, revision, hour, none }) => {
            const at = { bay: id, start: `2026-11-05T${hour}:00:00-07:00`, end: `2026-11-05T${hour}:45:00-07:00` };
            return request(id, 'v1', { state, revision, slot: none ? null : at } as Partial<BookingRequest>);
          });
      const reminder = (id: string): fc.Arbitrary<FollowUp> =>
        fc
          .record({ state: fc.constantFrom('waiting', 'sent', 'closed'), attempts: fc.integer({ min: 0, max: 3 }) })
          .map((more) => followUp(id, NOW, more as Partial<FollowUp>));
      const state = fc.record({
        vehicles: named(['v1', 'v2', 'v3'], vehicle),
        requests: named(['q1', 'q2'], booking),
        followUps: named(['f1', 'f2', 'f3'], reminder),
        name: fc.option(fc.string({ minLength: 1, maxLength: 20 }), { nil: undefined }),
      });

      it(
        'leaves the database as the last state says, whatever came before it',
        async () => {
          const other = await db.open();
          let run = 0;
          await fc.assert(
            fc.asyncProperty(fc.array(state, { minLength: 1, maxLength: 4 }), async (states) => {
              const id = `o${run++}`;
              // Ids are unique in the database: each run has its own.
              const own = <T>(value: T): T =>
                JSON.parse(JSON.stringify(value).replace(/"([vqf][123](?:-r[123])?)"/g, `"${id}-$1"`)) as T;
              await owner(id);
              let expected: OwnerFile | undefined;
              for (const next of states) {
                const { name: called, ...lists } = own(next);
                await store.transaction(async (tx) => {
                  const file = await tx.loadFile(id);
                  if (!file) throw new Error('no such owner');
                  const { name: _former, ...nameless } = file.owner;
                  expected = {
                    ...file,
                    ...lists,
                    owner: { ...nameless, ...(called !== undefined && { name: called }) },
                  };
                  expect(await tx.saveFile(file, expected)).toEqual({ outcome: 'saved' });
                });
              }
              expect(await other.transaction((tx) => tx.loadFile(id))).toEqual(expected);
            }),
            { numRuns: 60 },
          );
        },
        START_MILLISECONDS,
      );
    });
  });
}
