import { randomUUID } from 'node:crypto';
import { DateTime } from 'luxon';
import {
  calibration,
  judged,
  dueAgain,
  forecastPictureFor,
  familyWords,
  outlookFor,
  serviceText,
  timesFor,
} from './core/mod.ts';
import { reencode } from './edges/channels/photos.ts';
import { Html } from './edges/counter/html.ts';
import type { Means } from './edges/counter/means.ts';
import { moveDemoClock } from './demo-clock.ts';
import { kindOf, type Log } from './log.ts';
import { createMetrics, type Metrics } from './metrics.ts';
import type { Settings } from './settings.ts';
import { ownerOfEntry } from './staff/enter.ts';
import { factsSaid } from './staff/facts-said.ts';
import type { System } from './system.ts';

const DAY = 86_400_000;
/** Forecasts that the figures of their quality are made from, the latest ones. */
const FORECASTS = 5000;

/** What the pages need of a running shop. `address` answers where the pages are reached, without a closing slash. */
export function counterMeans(
  system: System,
  settings: Settings,
  log: Log,
  address: () => string,
  metrics: Metrics = createMetrics(),
): Means {
  const { store, flows, time, desk, telegram } = system;
  const today = () => DateTime.fromISO(time.now(), { zone: flows.shop.zone }).toISODate() ?? '';
  return {
    store,
    flows,
    now: time.now,
    log,
    web: system.web,
    askStaff: (action) => desk.askStaff(action),
    serviceName: (id) => serviceText(id, flows.services, 'en').name,
    allServices: () => [...flows.services.services.keys()],
    familyWords: (facts) => familyWords(facts, flows),
    async timesFor(request) {
      const now = time.now();
      const to = new Date(Date.parse(now) + (flows.shop.booking.horizonDays + 14) * DAY).toISOString().slice(0, 10);
      const diary = await store.transaction((tx) => tx.loadDiary(now.slice(0, 10), to, flows.shop.zone, now));
      return timesFor(request, diary.taken, flows, now).slots;
    },
    outlook: ({ vehicle, followUps }) => outlookFor(vehicle, followUps, system.backlog.flows(), today()),
    forecastPicture({ vehicle, followUps }) {
      const outlook = outlookFor(vehicle, followUps, system.backlog.flows(), today());
      return outlook && new Html(forecastPictureFor(vehicle, outlook, flows, today()));
    },
    filterDue: (vehicle) => dueAgain(vehicle, 'fuel-filter-service', flows),
    address,
    factsSaid: (said) => factsSaid(said, flows, time.now()),
    ownerOfEntry: (entry, externalId) => ownerOfEntry(entry, externalId, { store, flows, now: time.now }),
    async keepPhoto(ownerId, bytes) {
      const picture = await reencode(bytes);
      if ('refused' in picture) return { ok: false, because: picture.because };
      const id = `shop-${randomUUID()}`;
      const content = { bytes: picture.bytes, mediaType: picture.mediaType };
      await store.transaction((tx) => tx.addMedia([{ id, ownerId, channel: 'web', at: time.now(), content }]));
      return { ok: true, id };
    },
    async calibration() {
      return calibration(judged(await store.views.forecasts(FORECASTS)));
    },
    chatLink: ({ channel }, start) =>
      (channel === 'telegram' ? telegram?.linkTo(start) : undefined) ?? `${address()}/?start=${start}`,
    ready: () => canWrite(system, log),
    metrics: {
      text: () => metrics.text(store, time.now()),
      ...(settings.metricsToken && { token: settings.metricsToken }),
    },
    secureCookies: settings.publicUrl?.startsWith('https:') ?? false,
    ...(settings.demo && { demo: { moveOn: (days: number) => moveDemoClock(system, days) } }),
    ...(telegram && {
      telegram: ({ secret, body }: { secret: unknown; body: unknown }) =>
        telegram.webhook({ secretToken: secret, body }),
    }),
  };
}

/** Writes a word and sees whether the database keeps it: a full or read-only disk still answers every question. */
async function canWrite({ store }: System, log: Log): Promise<boolean> {
  try {
    await store.transaction((tx) => tx.saveSetting('last-ready', new Date().toISOString()));
    return true;
  } catch (fault) {
    log.error({ because: kindOf(fault) }, 'the database cannot be written');
    return false;
  }
}
