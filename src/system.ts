import { dirname, join } from 'node:path';
import { compileFlows, findingLine, turn, type ChannelName, type Flows, type Language } from './core/mod.ts';
import { photoFetcher, type PhotoFetcher } from './edges/channels/photo-fetcher.ts';
import { telegramChannel, type TelegramChannel } from './edges/channels/telegram/channel.ts';
import { webChannel, type WebChannel } from './edges/channels/web/channel.ts';
import { createClock, type Clock } from './edges/clock/clock.ts';
import { movedClock, realClock, type MovedClock } from './edges/clock/moved-clock.ts';
import { createDesk, type Desk } from './edges/desk/desk.ts';
import { createDispatcher, type Dispatcher } from './edges/desk/dispatcher.ts';
import type { Pace } from './edges/desk/pace.ts';
import { openStore } from './edges/store/open.ts';
import { photoShelf } from './edges/store/photo-shelf.ts';
import type { Channel, Store } from './edges/store/types.ts';
import { readFlowsFolder } from './flows-folder.ts';
import type { Log } from './log.ts';
import type { Metrics } from './metrics.ts';
import { secretKeyAt } from './secret-key.ts';
import type { Settings } from './settings.ts';
import { shopBacklog, type ShopBacklog } from './shop-backlog.ts';
import { staffDesk } from './staff/desk.ts';

/** The parts of a running shop, joined. */
export interface System {
  flows: Flows;
  backlog: ShopBacklog;
  store: Store;
  desk: Desk;
  dispatcher: Dispatcher;
  clock: Clock;
  time: MovedClock;
  web: WebChannel;
  telegram: TelegramChannel | undefined;
  channels: Map<ChannelName, Channel>;
  /** Begins to take messages on every channel; without `loops` the program itself drains what waits. */
  start(how?: { loops: boolean }): Promise<void>;
  /** Stops taking messages, ends what is under way, closes the database. */
  stop(): Promise<void>;
}

/** flows/ is wrong: the shop must not open with it. The message holds one line for each finding. */
export class FlowsFault extends Error {
  readonly code = 'flows-fault';
}

/** Loads and checks flows/. Throws a FlowsFault with every finding, a line each. */
export function loadFlows(folder?: string): Flows {
  const checked = compileFlows(readFlowsFolder(folder));
  if (checked.ok) return checked.value;
  throw new FlowsFault(checked.findings.map(findingLine).join('\n'));
}

export interface SystemOptions {
  flows?: Flows;
  /** Channels beside the web page and Telegram, such as a terminal. */
  extra?: (time: MovedClock) => Channel[];
  metrics?: Metrics;
  /** Another pace of sending than Telegram's own limits. */
  pace?: Pace;
  /** Turns that share one commit when work queues up. */
  turnsACommit?: number;
  /** Turns that one owner may cause in a minute before the rest waits; no limit where it is absent. */
  turnsAMinute?: number;
  /** Turns that all owners together may cause in a minute before the rest waits; no limit where it is absent. */
  allTurnsAMinute?: number;
}

/** Joins everything for one shop. */
export async function openSystem(settings: Settings, log: Log, options: SystemOptions = {}): Promise<System> {
  const flows = options.flows ?? loadFlows(settings.flows);
  const store = await openStore({ ...settings.database, optOutKey: keyFor(settings) });
  const time = await movedClock(store);
  await store.access.syncStaff(
    flows.shop.people.map(({ id, name, role }) => ({ id, name, role })),
    time.now(),
  );
  const web = webChannel();
  const channels = new Map<ChannelName, Channel>([['web', web]]);
  const language = (code: string): Language => (code.startsWith('es') ? 'es' : 'en');
  const backlog = shopBacklog(store, flows, time.now);
  const desk = createDesk({
    store,
    turn: (known, event, _flows: Flows, now) => turn(known, event, backlog.flows(), now),
    flows,
    clock: time.now,
    zone: flows.shop.zone,
    log,
    ...(options.metrics && { onTurn: options.metrics.turn }),
    ...(options.turnsACommit !== undefined && { turnsACommit: options.turnsACommit }),
    ...(options.turnsAMinute !== undefined && { turnsAMinute: options.turnsAMinute }),
    ...(options.allTurnsAMinute !== undefined && { allTurnsAMinute: options.allTurnsAMinute }),
    tooFast: (code) => flows.texts.say(language(code), 'too-fast'),
    apology: (code) => flows.texts.say(language(code), 'apology', { phone: flows.shop.phone }),
  });
  let photos: PhotoFetcher | undefined;
  const telegram = settings.telegram && joinTelegram(settings.telegram);
  if (telegram) channels.set('telegram', telegram);
  for (const channel of options.extra?.(time) ?? []) channels.set(channel.name, channel);
  const dispatcher = createDispatcher({
    store,
    channels,
    clock: realClock,
    log,
    ...(options.metrics && { onDelivery: options.metrics.delivery }),
    ...(options.pace && { pace: options.pace }),
  });
  const clock = createClock({
    store,
    receiveTimes: (due) => desk.receiveTimes(due),
    clock: time.now,
    log,
    everyHour: backlog.refresh,
  });
  desk.onCommit(() => dispatcher.wake());

  const languageAt = async (address: string): Promise<Language> => {
    const ownerId = await store.views.ownerAt('telegram', address);
    const file = ownerId && (await store.transaction((tx) => tx.loadFile(ownerId)));
    return file ? file.owner.language : 'en';
  };

  function joinTelegram({ token, apiRoot }: { token: string; apiRoot: string }): TelegramChannel {
    const channel = telegramChannel({
      token,
      apiRoot,
      ...(settings.publicUrl && { webhookUrl: `${settings.publicUrl}/telegram` }),
      staff: staffDesk({ store, desk, flows, now: time.now }),
      async contactWords(address) {
        const speaks = await languageAt(address);
        return { share: flows.texts.say(speaks, 'contact-share'), hint: flows.texts.say(speaks, 'contact-hint') };
      },
      now: realClock,
      log,
      afterReceive: () => photos?.nudge(),
    });
    photos = photoFetcher({
      shelf: photoShelf(store, 'telegram', realClock),
      fetchFile: (fileId) => channel.fetchFile(fileId),
      onFault: (_fault, mediaId) => log.warn({ mediaId }, 'a picture could not be fetched'),
    });
    return channel;
  }

  return {
    flows,
    backlog,
    store,
    desk,
    dispatcher,
    clock,
    time,
    web,
    telegram,
    channels,
    async start({ loops } = { loops: true }) {
      if (settings.staffChat) {
        await store.access.addStaffChat({ channel: 'telegram', address: settings.staffChat }, time.now(), 'settings');
      }
      if (loops) {
        desk.start();
        dispatcher.start();
      }
      clock.start();
      for (const channel of channels.values()) await channel.start((incoming) => desk.receive(incoming));
      photos?.nudge();
    },
    async stop() {
      await clock.stop();
      await Promise.all([...channels.values()].map((channel) => channel.stop()));
      await photos?.stop();
      await desk.stop();
      await dispatcher.stop();
      await store.close();
    },
  };
}

function keyFor(settings: Settings): string {
  const folder = settings.database.kind === 'sqlite' ? dirname(settings.database.path) : 'data';
  return settings.secretKey ?? secretKeyAt(join(folder, 'secret.key'));
}
