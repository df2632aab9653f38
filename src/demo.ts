import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { parse } from 'yaml';
import { z } from 'zod';
import { Facts, SERVICES, slotNamed, type FactKey, type FactRecord, type Instant, type OwnerFile } from './core/mod.ts';
import { ownerOfEntry } from './staff/enter.ts';
import { factsSaid } from './staff/facts-said.ts';
import type { System } from './system.ts';

const DEMO_FILE = fileURLToPath(new URL('../db/demo/owners.yaml', import.meta.url));
const DAY = 86_400_000;
const service = z.enum(SERVICES);

const Demo = z.strictObject({
  owners: z.array(
    z.strictObject({
      name: z.string(),
      phone: z.string(),
      truck: Facts,
      readings: z.array(z.strictObject({ daysAgo: z.number(), miles: z.number().int() })),
      records: z.array(
        z.strictObject({
          daysAgo: z.number(),
          miles: z.number().int(),
          services: z.array(service),
          findings: z.array(z.strictObject({ service, finding: z.string() })),
          putOff: z.array(z.strictObject({ service, because: z.string() })),
        }),
      ),
    }),
  ),
  talks: z.array(
    z.strictObject({
      lines: z.array(z.string()),
      answers: z.record(z.string(), z.string()),
      name: z.string(),
      phone: z.string(),
      shop: z.enum(['nothing', 'accept']),
    }),
  ),
  jobs: z.array(
    z.strictObject({
      name: z.string(),
      phone: z.string(),
      truck: Facts,
      services: z.array(service),
      complaint: z.string(),
    }),
  ),
});
type Demo = z.infer<typeof Demo>;

const SETTING = 'demo-seeded';

/** Fills an empty demo database with invented owners at different stages, so that every page has something to show. */
export async function seedDemo(system: System): Promise<void> {
  const { store, time } = system;
  const seeded = await store.transaction((tx) => tx.setting(SETTING));
  if (seeded) return;
  const demo = Demo.parse(parse(readFileSync(DEMO_FILE, 'utf8')));
  const now = time.now();
  await store.transaction(async (tx) => {
    for (const [index, owner] of demo.owners.entries()) {
      const zone = system.flows.shop.zone;
      const id = await tx.addOwner({
        id: `demo-${index}`,
        channel: 'web',
        address: `demo-${index}`,
        language: 'en',
        zone,
        at: now,
      });
      const before = await tx.loadFile(id);
      if (before) await tx.saveFile(before, filled(before, owner, now));
    }
    await tx.saveSetting(SETTING, true);
  });
  for (const [index, talk] of demo.talks.entries()) await hold(system, talk, `demo-talk-${index}`);
  for (const [index, job] of demo.jobs.entries()) await enter(system, job, `demo-job-${index}`);
}

function filled(file: OwnerFile, owner: Demo['owners'][number], now: Instant): OwnerFile {
  const at = (daysAgo: number): Instant => new Date(Date.parse(now) - daysAgo * DAY).toISOString();
  const day = (daysAgo: number) => at(daysAgo).slice(0, 10);
  const id = `truck-${file.owner.id}`;
  const oldest = Math.max(...owner.readings.map(({ daysAgo }) => daysAgo));
  const last = owner.records.at(-1);
  const fact = (key: FactKey, value: FactRecord['value'], source: FactRecord['source']): FactRecord => ({
    key,
    value,
    source,
    sure: true,
    at: at(oldest),
  });
  const told = (Object.entries(owner.truck) as [FactKey, FactRecord['value']][]).map(([key, value]) =>
    fact(key, value, 'owner'),
  );
  const found: FactRecord[] = last
    ? [
        fact('lastFuelFilterMiles', last.miles, 'staff'),
        ...(last.services.includes('pump-protection-kit')
          ? [fact('pumpProtected', true, 'staff'), fact('metalFound', false, 'staff')]
          : []),
      ]
    : [];
  return {
    ...file,
    owner: {
      ...file.owner,
      name: owner.name,
      phone: owner.phone,
      consent: { at: at(oldest), wording: 'agreed at the counter (demo)' },
      createdAt: at(oldest),
    },
    vehicles: [
      {
        id,
        state: 'active',
        facts: [...told, ...found],
        unknowable: [],
        readings: owner.readings.map(({ daysAgo, miles }, index) => ({
          id: `reading-${id}-${index}`,
          miles,
          date: day(daysAgo),
          source: 'owner' as const,
        })),
        records: owner.records.map((record, index) => ({
          id: `record-${id}-${index}`,
          date: day(record.daysAgo),
          odometerMiles: record.miles,
          services: record.services,
          findings: record.findings,
          putOff: record.putOff,
          closedBy: 'demo',
        })),
        createdAt: at(oldest),
      },
    ],
  };
}

const STEP = 30 * 60_000;
const LONGEST_WAIT = 7 * DAY;

/** Enters a job of somebody who phoned, as staff do, at the next time that is free: today while the shop is open. */
async function enter(system: System, job: Demo['jobs'][number], externalId: string): Promise<void> {
  const { desk, flows, store, time } = system;
  const now = time.now();
  const { truck, ...told } = job;
  const facts: Facts = { ...factsSaid({ truck: '', complaint: job.complaint }, flows, now), ...truck };
  const zone = flows.shop.zone;
  const until = new Date(Date.parse(now) + LONGEST_WAIT).toISOString();
  const diary = await store.transaction((tx) => tx.loadDiary(now.slice(0, 10), until.slice(0, 10), zone, now));
  const first = Math.ceil(Date.parse(now) / STEP) * STEP;
  for (let start = first; start < first + LONGEST_WAIT; start += STEP) {
    const named = { start: new Date(start).toISOString(), services: job.services, facts };
    const slot = slotNamed(named, diary.taken, flows, now);
    if (!slot) continue;
    const ownerId = await ownerOfEntry(job, externalId, { store, flows, now: time.now });
    const by = flows.shop.people[0];
    if (!by) return;
    await desk.receiveStaff({
      externalId,
      ownerId,
      at: now,
      by,
      action: { do: 'enter', entry: { ...told, facts, slot } },
    });
    await desk.drain();
    return;
  }
}

/**
 * What these owners want of the shop. A question about the truck that the file has no answer to is one that they cannot
 * answer; where that is no choice, the talk stays open there.
 */
const WISHES: Readonly<Record<string, string>> = { advice: 'yes', time: 's0', send: 'yes' };

/** Holds a whole talk through the real desk: writes, answers what is asked, takes the first time, leaves name and number. */
async function hold(system: System, talk: Demo['talks'][number], address: string): Promise<void> {
  const { desk, store, time } = system;
  let count = 0;
  const send = async (event: { kind: 'message'; text: string } | { kind: 'button'; data: string }) => {
    count += 1;
    const externalId = `web:${address}:${count}`;
    const base = { channel: 'web' as const, at: time.now() };
    await desk.receive([
      {
        channel: 'web',
        address,
        externalId,
        event:
          event.kind === 'message'
            ? { ...base, kind: 'message', messageRef: externalId, text: event.text }
            : { ...base, kind: 'button', data: event.data },
      },
    ]);
    await desk.drain();
  };
  const question = async () => {
    const ownerId = await store.views.ownerAt('web', address);
    const file = ownerId && (await store.transaction((tx) => tx.loadFile(ownerId)));
    return file ? file.conversation.question : null;
  };
  for (const text of talk.lines) await send({ kind: 'message', text });
  for (let step = 0; step < 20; step++) {
    const open = await question();
    if (!open) break;
    const meant = talk.answers[open.about] ?? WISHES[open.about] ?? 'dont-know';
    const option = open.options.find(({ id }) => id === meant)?.id;
    if (open.about === 'name') await send({ kind: 'message', text: talk.name });
    else if (open.about === 'phone') await send({ kind: 'message', text: talk.phone });
    else if (option) await send({ kind: 'button', data: `q:${open.id}:${option}` });
    else break;
  }
  const ownerId = await store.views.ownerAt('web', address);
  const [request] = (await store.views.requests(['requested'])).filter(({ owner }) => owner.id === ownerId);
  const [, colleague] = system.flows.shop.people;
  if (talk.shop === 'accept' && request && colleague) {
    const { id, revision } = request.request;
    await desk.receiveStaff({
      externalId: `${address}-accept`,
      ownerId: request.owner.id,
      at: time.now(),
      by: colleague,
      action: { do: 'accept', requestId: id, revision },
    });
    await desk.drain();
  }
}
