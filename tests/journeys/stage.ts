import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { DateTime } from 'luxon';
import sharp from 'sharp';
import { vi } from 'vitest';
import { parseStaffActionData, turn, type BookingRequest, type Flows, type StaffAction } from '../../src/core/mod.ts';
import { createClock } from '../../src/edges/clock/clock.ts';
import { createDesk } from '../../src/edges/desk/desk.ts';
import { createDispatcher } from '../../src/edges/desk/dispatcher.ts';
import { openStore } from '../../src/edges/store/open.ts';
import type { Channel, Outgoing } from '../../src/edges/store/types.ts';
import { staffDesk } from '../../src/staff/desk.ts';
import type { Harness } from '../edges/channels/harness.ts';

/** What Telegram needs beside a question that has buttons and asks for a contact. */
const CONTACT_HINT = 'Or tap below:';
const STAFF_ROOM = '-100200';
const quiet = { info: () => undefined, warn: () => undefined, error: () => undefined };

/** A whole shop with one owner on a real channel, a real database and a clock that the play moves. */
export interface Stage {
  now(): string;
  says(text: string): Promise<void>;
  taps(label: string): Promise<void>;
  edits(text: string): Promise<void>;
  sendsPhoto(): Promise<void>;
  /** Opens the chat; `label` is the code at the filter of the owner's first truck. */
  opens(by?: 'label' | 'other-label'): Promise<void>;
  staff(words: string): Promise<void>;
  moveClock(to: string): Promise<void>;
  /** What the owner and the staff were shown since the last look. */
  look(): { to: 'owner' | 'staff'; text: string; buttons: string[]; extra: string }[];
  close(): Promise<void>;
}

export async function openStage(harness: Harness, flows: Flows, startsAt: string): Promise<Stage> {
  vi.useFakeTimers({ toFake: ['Date'], now: new Date(startsAt) });
  const store = await openStore({
    kind: 'sqlite',
    path: join(mkdtempSync(join(tmpdir(), 'play-')), 'shop.sqlite'),
    optOutKey: 'k'.repeat(32),
  });
  const now = (): string => new Date().toISOString();
  const zone = flows.shop.zone;
  const desk = createDesk({
    store,
    turn,
    flows,
    clock: now,
    zone,
    log: quiet,
    apology: () => 'APOLOGY',
    newToken: () => 'KXWPLMQRTZ',
  });
  let pace = 0;
  const seen: ReturnType<Stage['look']> = [];
  /** The last button of each label that the staff were shown. */
  const staffButtons = new Map<string, string>();
  let lastBlock = '';
  /** What an id is called differs from channel to channel; what it is of does not. */
  const withoutIds = (text: string): string => {
    lastBlock = /\bb-staff-\d+/.exec(text)?.[0] ?? lastBlock;
    return text.replace(/\br-\w+\.\d+/g, 'REQUEST').replace(/\bb-staff-\d+/g, 'BLOCK');
  };
  const toStaff = (message: Outgoing) => {
    const photos = message.photos.length > 0 ? `${message.photos.length} photo` : '';
    for (const { label, data } of message.buttons) staffButtons.set(label, data);
    seen.push({
      to: 'staff',
      text: withoutIds(message.text),
      buttons: message.buttons.map(({ label }) => label),
      extra: photos,
    });
    return Promise.resolve({ outcome: 'sent' as const });
  };
  const owners = (message: Outgoing) => harness.deliver(message);
  const channel: Channel = {
    name: harness.channel.name,
    start: (receive) => harness.channel.start(receive),
    deliver: (message) => (message.address === STAFF_ROOM ? toStaff(message) : owners(message)),
    stop: () => harness.channel.stop(),
  };
  const room: Channel = {
    name: 'telegram',
    start: () => Promise.resolve(),
    deliver: toStaff,
    stop: () => Promise.resolve(),
  };
  const channels = new Map([['telegram', room] as const, [channel.name, channel] as const]);
  const dispatcher = createDispatcher({ store, channels, clock: now, log: quiet, monotonic: () => (pace += 3_500) });
  const clock = createClock({ store, receiveTimes: (due) => desk.receiveTimes(due), clock: now, log: quiet });
  await store.access.addStaffChat({ channel: 'telegram', address: STAFF_ROOM }, now(), 'the play');
  // A terminal opens the chat by itself; a play says where an owner does.
  let opening = false;
  await channel.start((incoming) => desk.receive(incoming.filter(({ event }) => opening || event.kind !== 'opened')));

  let shownBefore = 0;
  async function settle(): Promise<void> {
    for (let waited = 0; !harness.acknowledged() && waited < 4000; waited += 2) await sleep(2);
    for (let quietRounds = 0; quietRounds < 2;) {
      const done = (await desk.drain()) + (await dispatcher.drain());
      quietRounds = done === 0 ? quietRounds + 1 : 0;
    }
    await sleep(1);
    const shown = harness.shown();
    for (const { text, buttons, photos, file } of shown.slice(shownBefore)) {
      if (text === CONTACT_HINT) continue;
      const extra = [file === undefined ? '' : 'file', photos > 0 ? `${photos} photo` : ''].filter(Boolean).join(', ');
      const last = seen.at(-1);
      // A channel may send a file as a message of its own; it belongs to the words before it.
      if (text === '' && last?.to === 'owner' && last.extra === '') last.extra = extra;
      else seen.push({ to: 'owner', text, buttons, extra });
    }
    shownBefore = shown.length;
  }
  const tick = (minutes: number) => vi.setSystemTime(Date.now() + minutes * 60_000);

  /** Staff write a command or tap a button in their chat, as they do: by the real reader of that chat. */
  const chat = staffDesk({ store, desk, flows, now });
  let actions = 0;
  async function inStaffChat(words: string): Promise<void> {
    const tapped = /^\[(.*)\]$/.exec(words)?.[1];
    const by = { id: 's1', name: 'Wren' };
    const base = { externalId: `staff-${actions}`, chat: STAFF_ROOM, at: now(), by };
    if (tapped !== undefined) {
      const action = parseStaffActionData(staffButtons.get(tapped) ?? '');
      if (!action) throw new Error(`the staff see no button "${tapped}"`);
      await chat.receive({ ...base, kind: 'press', action, messageId: '1' });
    } else {
      const id = (await latestRequest())?.request.id ?? '';
      const text = words
        .replace(/\bREQUEST\b/, id)
        .replace(/\bBLOCK\b/, lastBlock)
        .replaceAll(' | ', '\n');
      await chat.receive({ ...base, kind: 'text', text });
    }
    await settle();
  }

  async function staff(words: string): Promise<void> {
    actions += 1;
    if (words.startsWith('/') || words.startsWith('[')) return inStaffChat(words);
    const latest = (await latestRequest())?.request;
    const [verb = '', ...rest] = words.split(' ');
    const action = latest ? actionOf(verb, rest, latest, seen) : undefined;
    const ownerId = (await store.views.ownerAt(channel.name, harness.address)) ?? '';
    await desk.receiveStaff({
      externalId: `staff-${actions}`,
      ownerId,
      at: now(),
      by: { id: 's1', name: verb === 'again' ? 'Moss' : 'Wren' },
      action: action ?? { do: 'say', text: words.replace(/^say /, '') },
      answerTo: { channel: 'telegram', address: STAFF_ROOM },
    });
    await settle();
  }
  const latestRequest = async () => {
    const states = [
      'requested',
      'accepted',
      'declined',
      'other-time',
      'cancelled',
      'arrived',
      'no-show',
      'in-work',
      'awaiting-approval',
      'closed',
    ] as const;
    const all = await store.views.requests(states);
    return all
      .sort(
        (a, b) =>
          a.request.createdAt.localeCompare(b.request.createdAt) ||
          a.request.id.localeCompare(b.request.id, 'en', { numeric: true }),
      )
      .at(-1);
  };
  let offered: { slot: BookingRequest['slot'] }[] = [];

  function actionOf(
    verb: string,
    rest: string[],
    request: BookingRequest,
    _seen: typeof seen,
  ): StaffAction | undefined {
    const head = { requestId: request.id, revision: request.revision };
    switch (verb) {
      case 'accept':
      case 'arrive':
      case 'start-work':
      case 'no-show':
      case 'list-times':
      case 'call':
        return { do: verb, ...head };
      case 'again':
        return { do: 'accept', requestId: request.id, revision: 1 };
      case 'decline':
      case 'cancel':
        return { do: verb, because: rest.join(' '), ...head };
      case 'offer': {
        const start = DateTime.fromISO(rest[0] ?? '', { zone });
        const slot = {
          bay: rest[1] ?? request.slot?.bay ?? '',
          start: start.toISO({ suppressMilliseconds: true }) ?? '',
          end: start.plus({ hours: 5 }).toISO({ suppressMilliseconds: true }) ?? '',
        };
        offered = [...offered, { slot }];
        return { do: 'offer-time', slot, ...head };
      }
      case 'close': {
        const [miles, metal, ...services] = rest;
        const done = services.length > 0 ? (services as BookingRequest['services']) : request.services;
        return {
          do: 'close',
          ...head,
          report: {
            date: DateTime.fromISO(now(), { zone }).toISODate() ?? '',
            odometerMiles: Number(miles),
            services: done,
            findings: metal && metal !== '-' ? [{ service: 'fuel-contamination-check', finding: metal }] : [],
            putOff: [],
          },
        };
      }
      default:
        return undefined;
    }
  }

  const act = (what: () => void) => async () => {
    what();
    await settle();
    tick(1);
  };
  await settle();
  return {
    now,
    says: (text) => act(() => harness.says(text))(),
    taps: (label) => act(() => harness.presses(label))(),
    edits: (text) => act(() => harness.edits(text))(),
    async opens(by) {
      opening = true;
      const ownerId = (await store.views.ownerAt(channel.name, harness.address)) ?? '';
      const file = by === 'label' ? await store.transaction((tx) => tx.loadFile(ownerId)) : undefined;
      const truck = file?.vehicles[0]?.id ?? 'somebody-elses';
      await act(() => harness.opens(by && `odometer-${truck.replace(/[^\w-]/g, '_')}`))();
    },
    async sendsPhoto() {
      const bytes = await sharp({ create: { width: 64, height: 48, channels: 3, background: '#777' } })
        .jpeg()
        .toBuffer();
      await act(() => harness.sendsPhoto(bytes))();
    },
    staff,
    async moveClock(to) {
      vi.setSystemTime(DateTime.fromISO(to, { zone }).toJSDate());
      await clock.tick();
      await settle();
    },
    look: () => seen.splice(0),
    async close() {
      await clock.stop();
      await desk.stop();
      await dispatcher.stop();
      await harness.close();
      await store.close();
      vi.useRealTimers();
    },
  };
}
