import { createHash } from 'node:crypto';
import { z } from 'zod';
import { namesOfTruck, readShopList, truckFromList, type ListedTruck, type ListReading } from '../../../core/mod.ts';
import type { VehicleView } from '../../store/types.ts';
import { html, type Html } from '../html.ts';
import type { Means } from '../means.ts';
import { everyTruck } from './exports.ts';
import { sayIn, tokenField, type Say } from './frame.ts';
import { scroll, section, ticket } from './parts.ts';
import type { Session } from './session.ts';
import type { Pages } from './ways.ts';
import { day, miles, serviceName, shopDay, truckWords } from './words.ts';

/** The list that was looked at and not taken over yet; one at a time. */
const SETTING = 'list-to-import';
const Waiting = z.looseObject({ id: z.string(), text: z.string() });

/** What would happen to each row of a list. */
interface DryRun {
  reading: ListReading;
  fresh: ListedTruck[];
  /** Rows whose truck the shop has already; they are left as they stand. */
  known: { row: ListedTruck; view: VehicleView }[];
}

async function dryRun(text: string, means: Means): Promise<DryRun> {
  const reading = readShopList(text, shopDay(means), means.flows);
  const standing = new Map(
    (await everyTruck(means)).flatMap((view) =>
      namesOfTruck(view.owner, view.vehicle).map((name) => [name, view] as const),
    ),
  );
  const fresh: ListedTruck[] = [];
  const known: DryRun['known'] = [];
  for (const row of reading.trucks) {
    const truck = truckFromList(row, 'row', means.now());
    const who = { name: row.owner, ...(row.phone !== undefined && { phone: row.phone }) };
    const view = namesOfTruck(who, truck)
      .map((name) => standing.get(name))
      .find(Boolean);
    if (view) known.push({ row, view });
    else fresh.push(row);
  }
  return { reading, fresh, known };
}

/** Bringing a list of customers, trucks and last services along: looked at first, then taken over. */
export function importRoutes({ get, post, show }: Pages, means: Means): void {
  const say = sayIn(means);

  get('/counter/import', async (_request, reply, session) =>
    show(reply, session, say('import-title'), uploadForm(session, say)),
  );

  post('/counter/import', async (_request, reply, session, { files }) => {
    const [file] = files;
    if (!file)
      return show(reply, session, say('import-title'), uploadForm(session, say), { notice: say('import-no-file') });
    const text = decoded(file.bytes);
    if (text === undefined)
      return show(reply, session, say('import-title'), uploadForm(session, say), { notice: say('import-not-text') });
    const id = createHash('sha256').update(text).digest('hex').slice(0, 16);
    await means.store.transaction((tx) => tx.saveSetting(SETTING, { id, text }));
    return show(reply, session, say('import-look'), resultPage(await dryRun(text, means), id, session, means));
  });

  post('/counter/import/take', async (_request, reply, session, { fields }) => {
    const waiting = Waiting.safeParse(await means.store.transaction((tx) => tx.setting(SETTING)));
    if (!waiting.success || waiting.data.id !== fields['id'])
      return show(reply, session, say('import-title'), uploadForm(session, say), { notice: say('import-gone') });
    const { fresh } = await dryRun(waiting.data.text, means);
    const count = await takeOver(fresh, waiting.data.id, means);
    const done = html`<p>${say('import-done', { count })}</p>
      <p class="ways"><a href="/counter/trucks">${say('counter-way-trucks')}</a></p>`;
    return show(reply, session, say('import-title'), done);
  });
}

/** Text in UTF-8, or in the encoding that spreadsheets of Windows write; undefined where it is no text at all. */
function decoded(bytes: Uint8Array): string | undefined {
  if (bytes.includes(0)) return undefined;
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder('windows-1252').decode(bytes);
  }
}

/**
 * Keeps the trucks with their owners, all or none. Owners of the list have no chat and gave no consent: nobody writes to
 * them. Rows of one name and phone number are one owner.
 */
async function takeOver(rows: readonly ListedTruck[], listId: string, means: Means): Promise<number> {
  const at = means.now();
  const owners = new Map<string, ListedTruck[]>();
  for (const row of rows) {
    const key = `${row.owner.toLowerCase()} ${row.phone ?? ''}`;
    owners.set(key, [...(owners.get(key) ?? []), row]);
  }
  await means.store.transaction(async (tx) => {
    for (const own of owners.values()) {
      const [first] = own;
      if (!first) continue;
      const { zone } = means.flows.shop;
      const id = await tx.addOwner({
        id: `list-${listId}-${first.line}`,
        channel: 'web',
        address: null,
        language: 'en',
        zone,
        at,
      });
      const before = await tx.loadFile(id);
      if (!before) continue;
      const vehicles = own.map((row) => truckFromList(row, `truck-list-${listId}-${row.line}`, at));
      const owner = {
        ...before.owner,
        name: first.owner,
        unreachableSince: at,
        ...(first.phone !== undefined && { phone: first.phone }),
      };
      const saved = await tx.saveFile(before, { ...before, owner, vehicles: [...before.vehicles, ...vehicles] });
      if (saved.outcome !== 'saved') throw new Error('an owner of the list could not be kept');
      await tx.addChanges(vehicles.map((vehicle) => ({ at, kind: 'vehicle', ownerId: id, subject: vehicle.id })));
    }
    await tx.saveSetting(SETTING, null);
  });
  return rows.length;
}

const uploadForm = (session: Session, say: Say): Html =>
  html`<p>${say('import-how')}</p>
    <p class="small">${say('import-columns')}</p>
    <form method="post" action="/counter/import" enctype="multipart/form-data">
      ${tokenField(session)}
      <p>
        <label>${say('import-file')}<input type="file" name="list" accept=".csv,.tsv,.txt,text/csv" required /></label>
      </p>
      <button>${say('import-check')}</button>
    </form>`;

function resultPage({ reading, fresh, known }: DryRun, id: string, session: Session, means: Means): Html {
  const say = sayIn(means);
  const line = (number: number): Html => html`<strong>${say('import-line', { number })}</strong>`;
  const take =
    fresh.length > 0
      ? html`<form method="post" action="/counter/import/take">
          ${tokenField(session)}<input type="hidden" name="id" value="${id}" />
          <p class="first"><button>${say('import-take', { count: fresh.length })}</button></p>
        </form>`
      : null;
  return html`<p>${say('import-found', { fresh: fresh.length, bad: reading.bad.length, known: known.length })}</p>
    ${reading.unknownColumns.length > 0 ? html`<p>${say('import-unknown-columns', { columns: reading.unknownColumns.join(', ') })}</p>` : null}
    <p>${say('import-nobody-written')}</p>
    ${take}
    <p class="ways"><a href="/counter/import">${say('import-again')}</a></p>
    ${section(
      say('import-bad'),
      reading.bad.map(({ line: number, problems }) =>
        ticket(
          line(number),
          html`${problems.map(({ text, values }, index) => html`${index > 0 ? html`<br />` : null}${say(text, values)}`)}`,
        ),
      ),
      say('import-bad-none'),
    )}
    ${
      known.length > 0
        ? section(
            say('import-known'),
            known.map(({ row, view }) =>
              ticket(
                line(row.line),
                html`<a href="/counter/truck/${view.vehicle.id}">${truckWords(view.vehicle, means)}</a>,
                  ${view.owner.name ?? say('no-name')}`,
              ),
            ),
            '',
          )
        : null
    }
    <section class="list">
      <h2>${say('import-fresh')}</h2>
      ${fresh.length === 0 ? html`<p class="small">${say('list-none')}</p>` : scroll(say('import-fresh'), freshTable(fresh, means))}
    </section>`;
}

function freshTable(rows: readonly ListedTruck[], means: Means): Html {
  const say = sayIn(means);
  const truck = (row: ListedTruck) => truckWords(truckFromList(row, 'row', means.now()), means);
  return html`<table class="jobs">
    <thead>
      <tr>
        ${['import-row', 'day-owner', 'import-phone', 'day-truck', 'import-odometer', 'import-last'].map((id) => html`<th scope="col">${say(id)}</th>`)}
      </tr>
    </thead>
    <tbody>
      ${rows.map(
        (row) =>
          html`<tr>
            <td>${row.line}</td>
            <td>${row.owner}</td>
            <td>${row.phone ?? ''}</td>
            <td>${truck(row)}${row.unit === undefined ? '' : `, ${row.unit}`}</td>
            <td>${row.reading ? `${miles(row.reading.miles)}, ${day(row.reading.date)}` : ''}</td>
            <td>
              ${row.lastService ? `${row.lastService.services.map((id) => serviceName(id, means)).join(', ')}, ${day(row.lastService.date)}` : ''}
            </td>
          </tr>`,
      )}
    </tbody>
  </table>`;
}
