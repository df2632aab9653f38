import { Counter, Gauge, Histogram, Registry, collectDefaultMetrics } from 'prom-client';
import { calibration, judged, type ChannelName, type Instant } from './core/mod.ts';
import type { TurnReport } from './edges/desk/desk.ts';
import type { Delivery, ForecastView, Store } from './edges/store/types.ts';

/** What the process counts, and what it reads from the database when somebody looks. */
export interface Metrics {
  turn(report: TurnReport): void;
  delivery(channel: ChannelName, outcome: Delivery['outcome'] | 'fault'): void;
  backup(outcome: 'made' | 'failed', at: Instant): void;
  /** Everything in the Prometheus text format, with the state of the shop's database at that moment. */
  text(store: Store, now: Instant): Promise<{ type: string; body: string }>;
}

/** Seconds that a turn takes, from the fastest to one that an owner would notice. */
const TURN_BUCKETS = [0.0005, 0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 1, 5];
/** Seconds from the arrival of a message to the commit of its turn. */
const ANSWER_BUCKETS = [0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 15, 60, 600];
/** Logged forecasts that the calibration looks at, the latest first. */
const FORECASTS = 5_000;
/** The calibration changes by the day; reading thousands of forecasts at every look would be waste. */
const CALIBRATION_MILLISECONDS = 600_000;

/** The figures of one process. Nothing in them names a person, an address or a truck. */
export function createMetrics(): Metrics {
  const register = new Registry();
  collectDefaultMetrics({ register, prefix: 'telltale_' });
  const registers = [register];
  const turns = new Counter({
    name: 'telltale_turns_total',
    help: 'Turns by what they answered and what became of them.',
    labelNames: ['kind', 'outcome'],
    registers,
  });
  const turnSeconds = new Histogram({
    name: 'telltale_turn_seconds',
    help: 'Time that one turn takes, without its commit.',
    buckets: TURN_BUCKETS,
    registers,
  });
  const answerSeconds = new Histogram({
    name: 'telltale_answer_seconds',
    help: 'Time from the arrival of a message in the inbox to the commit of its answer.',
    buckets: ANSWER_BUCKETS,
    registers,
  });
  const sends = new Counter({
    name: 'telltale_sends_total',
    help: 'Attempts to deliver a message, by channel and outcome.',
    labelNames: ['channel', 'outcome'],
    registers,
  });
  const backups = new Counter({
    name: 'telltale_backups_total',
    help: 'Scheduled backups by outcome.',
    labelNames: ['outcome'],
    registers,
  });
  const gauge = (name: string, help: string) => new Gauge({ name: `telltale_${name}`, help, registers });
  const byLabel = (name: string, help: string, label: string) =>
    new Gauge({ name: `telltale_${name}`, help, labelNames: [label], registers });
  const lastBackup = gauge('last_backup_timestamp_seconds', 'When the last scheduled backup was made; 0: none yet.');
  const inboxWaiting = gauge('inbox_waiting', 'Messages that wait for their turn.');
  const inboxAge = gauge('inbox_oldest_age_seconds', 'Age of the oldest message that waits for its turn.');
  const inboxFailed = gauge('inbox_failed', 'Messages whose turn was given up.');
  const outboxWaiting = gauge('outbox_waiting', 'Messages that wait to be sent.');
  const outboxAge = gauge('outbox_oldest_age_seconds', 'Age of the oldest message that waits to be sent.');
  const due = gauge('follow_ups_due', 'Follow-ups whose time has come and that still wait.');
  const late = gauge('follow_ups_late', 'Follow-ups that were due an hour ago or longer and still wait.');
  const owners = gauge('owners', 'Owners known.');
  const requests = byLabel('requests', 'Booking requests by state.', 'state');
  const inside = gauge(
    'forecast_inside_ratio',
    'Share of answered forecasts whose due day fell into the 80 % interval; near 0.8 where they are right.',
  );
  const answered = byLabel('forecasts', 'Logged forecasts of late, by whether a reading has answered them.', 'state');

  let calibrated = Number.NEGATIVE_INFINITY;
  const calibrate = async (store: Store): Promise<void> => {
    if (performance.now() - calibrated < CALIBRATION_MILLISECONDS) return;
    const { ratio, answered: known, waiting } = calibrationOf(await store.views.forecasts(FORECASTS));
    calibrated = performance.now();
    inside.set(ratio);
    answered.set({ state: 'answered' }, known);
    answered.set({ state: 'waiting' }, waiting);
  };

  return {
    turn({ kind, outcome, milliseconds, sinceArrival }) {
      turns.inc({ kind, outcome });
      turnSeconds.observe(milliseconds / 1000);
      if (outcome === 'done') answerSeconds.observe(sinceArrival / 1000);
    },
    delivery: (channel, outcome) => sends.inc({ channel, outcome }),
    backup(outcome, at) {
      backups.inc({ outcome });
      if (outcome === 'made') lastBackup.set(Date.parse(at) / 1000);
    },
    async text(store, now) {
      const figures = await store.figures(now);
      const age = (oldest: Instant | null): number =>
        oldest === null ? 0 : Math.max(0, Date.parse(now) - Date.parse(oldest)) / 1000;
      inboxWaiting.set(figures.inboxWaiting);
      inboxAge.set(age(figures.inboxOldest));
      inboxFailed.set(figures.inboxFailed);
      outboxWaiting.set(figures.outboxWaiting);
      outboxAge.set(age(figures.outboxOldest));
      due.set(figures.followUpsDue);
      late.set(figures.followUpsLate);
      owners.set(figures.owners);
      requests.reset();
      for (const [state, count] of Object.entries(figures.requests)) requests.set({ state }, count);
      await calibrate(store);
      return { type: register.contentType, body: await register.metrics() };
    },
  };
}

/** How the logged forecasts met the readings that came after them. NaN, the format's word for "none", with no answer. */
export function calibrationOf(log: ForecastView[]): { ratio: number; answered: number; waiting: number } {
  const [all] = calibration(judged(log));
  return { ratio: all?.within ?? Number.NaN, answered: all?.answered ?? 0, waiting: all?.waiting ?? 0 };
}
