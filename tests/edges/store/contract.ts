import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { HOLDING_STATES, REQUEST_STATES, type OwnerFile } from '../../../src/core/mod.ts';
import type { Store, StoreTransaction } from '../../../src/edges/store/types.ts';
import { START_MILLISECONDS, type TestDatabase } from './databases.ts';
import { after, followUp, NOW, request, truck, ZONE } from './made-up.ts';

/** What every store does, whichever database is below it. */
export function storeContract(name: string, database: () => TestDatabase): void {
  describe(`the store on ${name}`, () => {
    let db: TestDatabase;
    let store: Store;

    beforeEach(async () => {
      db = database();
      store = await db.open();
    }, START_MILLISECONDS);
    afterEach(() => db.remove());

    const addOwner = (id: string, address = id, channel: 'web' | 'telegram' = 'web') =>
      store.transaction((tx) => tx.addOwner({ id, channel, address, language: 'en', zone: ZONE, at: NOW }));
    const load = async (id: string): Promise<OwnerFile> => {
      const file = await store.transaction((tx) => tx.loadFile(id));
      if (!file) throw new Error('no such owner');
      return file;
    };
    /** Saves a change of an owner's file and answers how it went; a slot that is taken takes everything back. */
    const change = async (id: string, how: (file: OwnerFile) => OwnerFile) => {
      const before = await load(id);
      return store.transaction((tx) =>
        tx.savepoint(async () => {
          const value = await tx.saveFile(before, how(before));
          return { keep: value.outcome === 'saved', value };
        }),
      );
    };
    const withRequests = (...requests: OwnerFile['requests']) => {
      return (file: OwnerFile): OwnerFile => ({ ...file, vehicles: [truck('v1')], requests });
    };
    const arrives = (tx: StoreTransaction, ownerId: string, externalId: string) =>
      tx.addToInbox([
        {
          source: 'web',
          externalId,
          ownerId,
          address: ownerId,
          event: { kind: 'message', channel: 'web', at: NOW, messageRef: externalId, text: externalId },
          receivedAt: NOW,
        },
      ]);

    describe("an owner's file", () => {
      const everything = (file: OwnerFile): OwnerFile => ({
        owner: {
          ...file.owner,
          language: 'es',
          name: 'Invented Name',
          phone: '+1 406 555 0123',
          consent: { at: NOW, wording: 'Yes, remind me.' },
          optedOutAt: after(5),
          unreachableSince: after(6),
        },
        conversation: {
          ...file.conversation,
          position: { flow: 'owner', version: 3, snapshot: { value: { gathering: 'odometer' }, historyValue: {} } },
          vehicleId: 'v1',
          question: {
            id: 'i1-q',
            about: 'odometerMiles',
            vehicleId: 'v1',
            askedAt: NOW,
            options: [{ id: 'unknown', label: "I don't know" }],
          },
          answered: [{ id: 'i0-q', about: 'modelYear', recorded: '2015' }],
          matter: { openedAt: NOW, words: [{ messageRef: 'm1', text: 'it stalls' }], photos: ['p1'] },
          offered: [{ bay: 'bay-1', start: '2026-11-05T09:00:00-07:00', end: '2026-11-05T10:30:00-07:00' }],
          wantedTime: { date: '2026-11-05', part: 'morning' },
          services: ['scan-diagnosis'],
          warned: ['fuel-leak'],
          greeted: true,
          lastHeardAt: NOW,
        },
        vehicles: [
          truck('v1', {
            facts: [
              { key: 'modelYear', value: 2015, words: "a '15", source: 'owner', sure: true, at: NOW, messageRef: 'm1' },
              { key: 'symptoms', value: ['stalls'], source: 'owner', sure: false, at: NOW },
              { key: 'tows', value: true, source: 'staff', sure: true, at: NOW },
            ],
            unknowable: ['vin'],
            readings: [
              { id: 'r1', miles: 97_000, date: '2026-05-02', source: 'owner', messageRef: 'm1' },
              { id: 'r2', miles: 1_200, date: '2026-11-02', source: 'staff', clusterReset: true },
            ],
            records: [
              {
                id: 's1',
                requestId: 'q0',
                date: '2026-05-02',
                odometerMiles: 97_000,
                services: ['fuel-filter-service'],
                findings: [{ service: 'fuel-contamination-check', finding: 'clean', note: 'both filters' }],
                putOff: [{ service: 'intake-cleaning', because: 'owner wants to wait' }],
                note: 'short trips',
                closedBy: 'Invented Technician',
              },
            ],
          }),
          truck('v2', { state: 'sold' }),
        ],
        requests: [request('q1', 'v1'), request('q2', 'v2', { state: 'declined', slot: null })],
        followUps: [
          followUp('f1', after(60), {
            vehicleId: 'v1',
            requestId: 'q1',
            dueMiles: 119_000,
            services: ['fuel-filter-service'],
            log: [{ at: NOW, what: 'sent' }],
          }),
        ],
        unaskedAt: [after(-10), NOW],
      });

      it('comes back as it was saved, from another handle too', async () => {
        await addOwner('o1');
        const saved = everything(await load('o1'));
        expect(await change('o1', () => saved)).toEqual({ outcome: 'saved' });
        expect(await load('o1')).toEqual(saved);
        const other = await db.open();
        expect(await other.transaction((tx) => tx.loadFile('o1'))).toEqual(saved);
      });

      it('loses what the next state no longer has', async () => {
        await addOwner('o1');
        await change('o1', everything);
        const shrunk = (file: OwnerFile): OwnerFile => ({
          ...file,
          owner: { id: 'o1', language: 'en', zone: ZONE, channel: 'web', createdAt: NOW },
          vehicles: file.vehicles.slice(0, 1).map((vehicle) => ({
            ...vehicle,
            facts: vehicle.facts.slice(1),
            readings: vehicle.readings.slice(1),
            records: [],
          })),
          requests: [],
          followUps: [],
          unaskedAt: [],
        });
        const expected = shrunk(await load('o1'));
        await change('o1', shrunk);
        const other = await db.open();
        expect(await other.transaction((tx) => tx.loadFile('o1'))).toEqual(expected);
      });

      it('is the present one for every handle, however many hold an older one', async () => {
        await addOwner('o1');
        const other = await db.open();
        for (let miles = 1; miles <= 6; miles++) {
          const handle = miles % 2 === 0 ? store : other;
          await handle.transaction(async (tx) => {
            const file = await tx.loadFile('o1');
            if (!file) throw new Error('no such owner');
            const reading = { id: `r${miles}`, miles, date: '2026-11-02', source: 'owner' as const };
            const [vehicle = truck('v1')] = file.vehicles;
            await tx.saveFile(file, { ...file, vehicles: [{ ...vehicle, readings: [...vehicle.readings, reading] }] });
          });
        }
        for (const handle of [store, other]) {
          const file = await handle.transaction((tx) => tx.loadFile('o1'));
          expect(file?.vehicles[0]?.readings.map(({ miles }) => miles)).toEqual([1, 2, 3, 4, 5, 6]);
        }
      });

      it('is not kept in memory from a savepoint or a transaction that was taken back', async () => {
        await addOwner('o1');
        const renamed = (name: string) => (file: OwnerFile) => ({ ...file, owner: { ...file.owner, name } });
        await store.transaction(async (tx) => {
          const before = await tx.loadFile('o1');
          if (!before) throw new Error('no such owner');
          await tx.savepoint(async () => {
            await tx.saveFile(before, renamed('taken back')(before));
            return { keep: false, value: undefined };
          });
          expect((await tx.loadFile('o1'))?.owner.name).toBeUndefined();
        });
        await expect(
          store.transaction(async (tx) => {
            const before = await tx.loadFile('o1');
            if (before) await tx.saveFile(before, renamed('thrown away')(before));
            throw new Error('after all not');
          }),
        ).rejects.toThrow('after all not');
        const other = await db.open();
        await other.transaction(async (tx) => {
          const before = await tx.loadFile('o1');
          if (before) await tx.saveFile(before, renamed('kept')(before));
        });
        expect((await load('o1')).owner.name).toBe('kept');
      });
    });

    describe('the diary', () => {
      it.each(REQUEST_STATES.map((state) => [state, HOLDING_STATES.includes(state)] as const))(
        'a request that is %s holds its time: %s',
        async (state, holds) => {
          await addOwner('o1');
          await change('o1', withRequests(request('q1', 'v1', { state })));
          const diary = await store.transaction((tx) => tx.loadDiary('2026-11-05', '2026-11-05', ZONE, NOW));
          const taken = [
            { bay: 'bay-1', start: '2026-11-05T09:00:00-07:00', end: '2026-11-05T10:30:00-07:00', holder: 'q1' },
          ];
          expect(diary.taken).toEqual(holds ? taken : []);
        },
      );

      const slotAt = (start: string, end: string, more: { bay?: string; person?: string } = {}) => ({
        slot: { bay: 'bay-1', start: `2026-11-05T${start}:00-07:00`, end: `2026-11-05T${end}:00-07:00`, ...more },
      });
      it.each([
        ['the same time', slotAt('09:00', '10:30'), true],
        ['its last quarter', slotAt('10:15', '11:00'), true],
        ['a quarter that both only begin', slotAt('10:20', '11:00'), true],
        ['the time right after it', slotAt('10:30', '11:00'), false],
        ['the time right before it', slotAt('08:00', '09:00'), false],
        ['the same time in another bay', slotAt('09:00', '10:30', { bay: 'bay-2' }), false],
        ['the same technician in another bay', slotAt('09:00', '10:30', { bay: 'bay-2', person: 'tech-1' }), true],
      ])('a second request for %s is refused: %s', async (_what, slot, refused) => {
        await addOwner('o1');
        await addOwner('o2');
        const first = slotAt('09:00', '10:30', { person: 'tech-1' });
        await change('o1', withRequests(request('q1', 'v1', first)));
        const second = (file: OwnerFile): OwnerFile => ({
          ...file,
          vehicles: [truck('v9')],
          requests: [request('q9', 'v9', slot)],
        });
        expect((await change('o2', second)).outcome).toBe(refused ? 'taken' : 'saved');
        expect((await load('o2')).requests).toHaveLength(refused ? 0 : 1);
      });

      it('a request moves within its own time, and a cancelled one frees it', async () => {
        await addOwner('o1');
        await addOwner('o2');
        await change('o1', withRequests(request('q1', 'v1', slotAt('09:00', '10:30'))));
        const moved = withRequests(request('q1', 'v1', { ...slotAt('09:30', '11:00'), revision: 2 }));
        expect(await change('o1', moved)).toEqual({ outcome: 'saved' });
        const other = (file: OwnerFile): OwnerFile => ({
          ...file,
          vehicles: [truck('v9')],
          requests: [request('q9', 'v9', slotAt('10:30', '11:30'))],
        });
        expect(await change('o2', other)).toEqual({
          outcome: 'taken',
          bay: 'bay-1',
          quarter: '2026-11-05T17:30:00.000Z',
        });
        await change('o1', withRequests(request('q1', 'v1', { ...slotAt('09:30', '11:00'), state: 'cancelled' })));
        expect(await change('o2', other)).toEqual({ outcome: 'saved' });
      });
    });

    describe('the inbox', () => {
      it('knows an arrival that came before, and names the row of the first one', async () => {
        await addOwner('o1');
        const [first] = await store.transaction((tx) => arrives(tx, 'o1', 'm1'));
        const [second] = await store.transaction((tx) => arrives(tx, 'o1', 'm1'));
        expect(first?.isNew).toBe(true);
        expect(second).toEqual({ seq: first?.seq, isNew: false });
      });

      it('gives an owner nothing behind a row that has to wait, and others their own', async () => {
        await addOwner('o1');
        await addOwner('o2');
        await store.transaction(async (tx) => {
          const [held] = await arrives(tx, 'o1', 'held');
          await arrives(tx, 'o1', 'behind it');
          await arrives(tx, 'o2', 'free');
          await tx.inboxRetry(held?.seq ?? 0, after(1), 'not yet');
        });
        const texts = async (now: string) => {
          const rows = await store.transaction((tx) => tx.takeWaiting(now, 10));
          return rows.map(({ event }) => (event.kind === 'message' ? event.text : event.kind));
        };
        expect(await texts(NOW)).toEqual(['free']);
        expect(await texts(after(1))).toEqual(['held', 'behind it', 'free']);
        // The clock was set back by a day: what was put off before that does not wait for a day.
        expect(await texts(after(-24 * 60))).toEqual(['held', 'behind it', 'free']);
      });

      it('finds the one row that may run behind many that may not', async () => {
        await addOwner('o1');
        await addOwner('o2');
        await store.transaction(async (tx) => {
          for (let index = 0; index < 40; index++) {
            const [row] = await arrives(tx, 'o1', `held ${index}`);
            await tx.inboxRetry(row?.seq ?? 0, after(5), 'not yet');
          }
          await arrives(tx, 'o2', 'free');
        });
        const rows = await store.transaction((tx) => tx.takeWaiting(NOW, 4));
        expect(rows.map(({ ownerId }) => ownerId)).toEqual(['o2']);
      });
    });

    describe('the outbox', () => {
      const put = (tx: StoreTransaction, inboxSeq: number, address: string, ordinal = 0) =>
        tx.addToOutbox([
          {
            inboxSeq,
            ordinal,
            ownerId: 'o1',
            toStaff: false,
            channel: 'telegram',
            address,
            reply: { text: `${inboxSeq}-${ordinal} to ${address}`, buttons: [] },
            unasked: false,
            createdAt: NOW,
          },
        ]);
      const heads = async (now = NOW, passOver: (channel: string, address: string) => boolean = () => false) => {
        const rows = await store.transaction((tx) => tx.outboxHeads(['telegram'], now, 10, passOver));
        return rows.map(({ id, address }) => `${id} ${address}`);
      };

      it('gives the first message of each address, and none behind one that has to wait', async () => {
        await store.transaction(async (tx) => {
          await put(tx, 1, 'a');
          await put(tx, 1, 'a', 1);
          await put(tx, 2, 'b');
        });
        expect(await heads()).toEqual(['i1-0 a', 'i2-0 b']);
        expect(await heads(NOW, (_channel, address) => address === 'a')).toEqual(['i2-0 b']);
        await store.transaction((tx) => tx.outboxLater('i1-0', after(1), 'busy', false));
        expect(await heads()).toEqual(['i2-0 b']);
        expect(await heads(after(1))).toEqual(['i1-0 a', 'i2-0 b']);
        await store.transaction((tx) => tx.outboxSent('i1-0', NOW, '77'));
        expect(await heads()).toEqual(['i1-1 a', 'i2-0 b']);
      });

      it('cannot hold the same reply of the same row twice', async () => {
        await store.transaction((tx) => put(tx, 1, 'a'));
        await expect(store.transaction((tx) => put(tx, 1, 'a'))).rejects.toThrow();
      });

      it('follows an address that moved, for the owner, the staff chats and what waits', async () => {
        await addOwner('o1', 'old', 'telegram');
        await store.access.addStaffChat({ channel: 'telegram', address: 'old' }, NOW, 'test');
        await store.transaction((tx) => put(tx, 1, 'old'));
        await store.transaction((tx) => tx.moveAddress('telegram', 'old', 'new'));
        expect(await heads()).toEqual(['i1-0 new']);
        expect(await store.views.ownerAt('telegram', 'new')).toBe('o1');
        expect(await store.access.isStaffChat('telegram', 'new')).toBe(true);
        expect(await store.access.isStaffChat('telegram', 'old')).toBe(false);
      });

      it('lets a notice out once, beside all turns', async () => {
        const notice = { externalId: 'n1', channel: 'telegram' as const, address: 'a', text: 'linked', at: NOW };
        await store.transaction((tx) => tx.addNotice(notice));
        await store.transaction((tx) => tx.addNotice(notice));
        await store.transaction((tx) => tx.addNotice({ ...notice, externalId: 'n2', address: 'b' }));
        expect(await heads()).toHaveLength(2);
      });
    });

    describe('codes and sessions', () => {
      beforeEach(() => store.access.syncStaff([{ id: 's1', name: 'Invented Manager', role: 'manager' }], NOW));

      it.each([
        ['in time', 'sign-in', after(9), true],
        ['too late', 'sign-in', after(10), false],
        ['for another purpose', 'staff-chat', after(1), false],
      ] as const)('a code used %s for %s signs in: %3$s', async (_when, purpose, at, works) => {
        const code = await store.access.createCode(purpose, 's1', NOW, 10);
        const session = await store.access.signIn(code, at, 8);
        expect(session !== undefined).toBe(works);
      });

      it('works once, and its session until it ends or is left', async () => {
        const code = await store.access.createCode('sign-in', 's1', NOW, 10);
        const session = await store.access.signIn(code, NOW, 8);
        expect(await store.access.signIn(code, NOW, 8)).toBeUndefined();
        const token = session?.token ?? '';
        expect(await store.access.session(token, after(8 * 60 - 1))).toMatchObject({ id: 's1' });
        expect(await store.access.session(token, after(8 * 60))).toBeUndefined();
        expect(await store.access.session(`${token}x`, NOW)).toBeUndefined();
        await store.access.signOut(token);
        expect(await store.access.session(token, NOW)).toBeUndefined();
      });

      it('ends the sessions of a person who left the shop', async () => {
        const code = await store.access.createCode('sign-in', 's1', NOW, 10);
        const { token = '' } = (await store.access.signIn(code, NOW, 8)) ?? {};
        const unused = await store.access.createCode('sign-in', 's1', NOW, 10);
        await store.access.syncStaff([{ id: 's2', name: 'Invented Advisor', role: 'advisor' }], NOW);
        expect(await store.access.session(token, NOW)).toBeUndefined();
        expect(await store.access.signIn(unused, NOW, 8)).toBeUndefined();
        expect((await store.access.staff()).map(({ id }) => id)).toEqual(['s2']);
      });

      it('makes a chat the staff chat by a code that works once', async () => {
        const code = await store.access.createCode('staff-chat', 's1', NOW, 10);
        const chat = { channel: 'telegram' as const, address: '-100' };
        expect(await store.access.linkStaffChat('WRONGCODE2', chat, NOW)).toEqual({ linked: false });
        expect(await store.access.linkStaffChat(code, chat, NOW)).toEqual({ linked: true, by: 's1' });
        expect(await store.access.linkStaffChat(code, { ...chat, address: '-200' }, NOW)).toEqual({ linked: false });
        expect(await store.transaction((tx) => tx.staffChats())).toEqual([chat]);
      });
    });

    describe('what the clock and the workers share', () => {
      it('finds waiting follow-ups that are due, the longest due first', async () => {
        await addOwner('o1');
        const followUps = [
          followUp('later', after(1)),
          followUp('now', NOW),
          followUp('overdue', after(-60)),
          followUp('sent', after(-60), { state: 'sent' }),
          followUp('to call', after(-60), { state: 'call-list' }),
        ];
        await change('o1', (file) => ({ ...file, followUps }));
        const due = await store.transaction((tx) => tx.dueFollowUps(NOW, 10));
        expect(due.map(({ id }) => id)).toEqual(['overdue', 'now']);
      });

      it('gives a lease to one holder until it ends, is dropped, or lies beyond any lease', async () => {
        const take = (holder: string, now: string, until: string) =>
          store.transaction((tx) => tx.takeLease('clock', holder, now, until));
        expect(await take('a', NOW, after(1))).toBe(true);
        expect(await take('b', NOW, after(1))).toBe(false);
        expect(await take('a', NOW, after(2))).toBe(true);
        expect(await take('b', after(1), after(3))).toBe(false);
        expect(await take('b', after(2), after(4))).toBe(true);
        await store.transaction((tx) => tx.dropLease('clock', 'b'));
        expect(await take('a', after(2), after(4))).toBe(true);
        // The clock was set back by an hour: the lease from the future is void.
        expect(await take('b', after(-60), after(-58))).toBe(true);
      });

      it('keeps settings', async () => {
        expect(await store.transaction((tx) => tx.setting('x'))).toBeUndefined();
        await store.transaction((tx) => tx.saveSetting('x', { a: 1 }));
        await store.transaction((tx) => tx.saveSetting('x', { a: 2 }));
        expect(await store.transaction((tx) => tx.setting('x'))).toEqual({ a: 2 });
      });

      it('tells pages what changed since they looked', async () => {
        const { next: start } = await store.views.changesSince();
        const tell = (subject: string) =>
          store.transaction((tx) => tx.addChanges([{ at: NOW, kind: 'request', ownerId: 'o1', subject }]));
        await tell('q1');
        const first = await store.views.changesSince(start);
        expect(first.changes.map(({ subject }) => subject)).toEqual(['q1']);
        await tell('q2');
        await tell('q3');
        const second = await store.views.changesSince(first.next);
        expect(second.changes.map(({ subject }) => subject)).toEqual(['q2', 'q3']);
        expect((await store.views.changesSince(second.next)).changes).toEqual([]);
      });
    });

    it('refuses to be used inside its own transaction, instead of waiting for itself for ever', async () => {
      for (const inside of [
        () => store.transaction(async () => {}),
        () => store.views.unread(),
        () => store.access.staff(),
        () => store.figures(NOW),
      ]) {
        await expect(store.transaction(async () => void (await inside()))).rejects.toMatchObject({
          code: 'outer-handle-inside-transaction',
        });
      }
      await expect(store.views.unread()).resolves.toEqual([]);
    });

    it('counts what waits', async () => {
      await addOwner('o1');
      await change('o1', withRequests(request('q1', 'v1')));
      await store.transaction((tx) => arrives(tx, 'o1', 'm1'));
      expect(await store.figures(NOW)).toMatchObject({
        inboxWaiting: 1,
        inboxOldest: NOW,
        inboxFailed: 0,
        outboxWaiting: 0,
        outboxOldest: null,
        owners: 1,
        requests: { requested: 1 },
      });
    });
  });
}
