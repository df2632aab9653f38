import Sqlite from 'better-sqlite3';
import type { Sent } from './faults-people.ts';
import type { SentMessage } from './telegram-stand-in.ts';

const QUARTER = 15 * 60_000;
/** The states in which a request holds its bay. */
const HOLDING = ['requested', 'accepted', 'other-time', 'arrived', 'in-work', 'awaiting-approval'];
/** Replies that one inbox row may put out: the number of an outbox row is 1000 times the inbox row's, and its place. */
const LINES_A_TURN = 1000;
const HINT = /^Tap the button below to share/;

interface RequestRow {
  id: string;
  owner_id: string;
  state: string;
  slot: { bay: string; person?: string; start: string; end: string } | null;
  history: { what: string }[];
}

/** What a database is found to hold that it must not. */
export interface Findings {
  unanswered: string[];
  twice: string[];
  torn: string[];
  repeatedInWindow: number;
  repeatedOutside: string[];
  outOfOrder: string[];
  lost: string[];
}

const read = <T>(path: string, work: (database: Sqlite.Database) => T): T => {
  const database = new Sqlite(path);
  try {
    return work(database);
  } finally {
    database.close();
  }
};

function requestsOf(database: Sqlite.Database): RequestRow[] {
  const rows = database.prepare('select id, owner_id, state, body from requests').all() as Record<string, string>[];
  return rows.map(({ id = '', owner_id = '', state = '', body = '{}' }) => {
    const told = JSON.parse(body) as Pick<RequestRow, 'slot' | 'history'>;
    return { id, owner_id, state, slot: told.slot ?? null, history: told.history ?? [] };
  });
}

/** The quarter hours that a request has to hold, worked out here from its slot. */
function wantedClaims({ id, state, slot }: RequestRow): string[] {
  if (!slot || !HOLDING.includes(state)) return [];
  const claims: string[] = [];
  for (let at = Math.floor(Date.parse(slot.start) / QUARTER) * QUARTER; at < Date.parse(slot.end); at += QUARTER) {
    for (const resource of slot.person === undefined ? [slot.bay] : [slot.bay, slot.person]) {
      claims.push(`${resource} ${new Date(at).toISOString()} ${id}`);
    }
  }
  return claims;
}

/** The quarter hours that are held for owners who are not done yet. */
function heldClaims(database: Sqlite.Database): string[] {
  const holds = database.prepare('select owner_id, bay, person, start_at, end_at from holds').all() as Record<
    string,
    string | null
  >[];
  return holds.flatMap(({ owner_id, bay, person, start_at, end_at }) =>
    wantedClaims({
      id: `hold-${owner_id}`,
      owner_id: owner_id ?? '',
      state: 'accepted',
      slot: {
        bay: bay ?? '',
        start: start_at ?? '',
        end: end_at ?? '',
        ...(person !== null && { person }),
      } as RequestRow['slot'],
      history: [],
    }),
  );
}

/** Looks for anything half written. To be called while no process has the database open. */
export function tornState(path: string): string[] {
  return read(path, (database) => {
    const tables = database.prepare(`select count(*) as n from sqlite_master where name = 'outbox'`).get() as {
      n: number;
    };
    const integrity = (database.pragma('integrity_check') as { integrity_check: string }[])
      .map(({ integrity_check }) => integrity_check)
      .filter((line) => line !== 'ok');
    if (tables.n === 0) return integrity;
    const strangers = (database.pragma('foreign_key_check') as unknown[]).map(
      (row) => `reference ${JSON.stringify(row)}`,
    );
    const claims = database.prepare('select resource, quarter, request_id from claims').all() as Record<
      string,
      string
    >[];
    const held = new Set(claims.map(({ resource, quarter, request_id }) => `${resource} ${quarter} ${request_id}`));
    const wanted = new Set([...requestsOf(database).flatMap(wantedClaims), ...heldClaims(database)]);
    const early = database
      .prepare(
        `select seq from inbox where state = 'waiting' and
         (exists (select 1 from messages where inbox_seq = seq)
          or exists (select 1 from outbox where position between seq * 1000 and seq * 1000 + 999))`,
      )
      .all() as { seq: number }[];
    return [
      ...integrity,
      ...strangers,
      ...[...wanted].filter((claim) => !held.has(claim)).map((claim) => `claim missing: ${claim}`),
      ...[...held].filter((claim) => !wanted.has(claim)).map((claim) => `claim of nothing: ${claim}`),
      ...early.map(({ seq }) => `inbox row ${seq} waits, and has already been answered`),
    ];
  });
}

/** Gives a dead process's right to send back at once; left alone it ends by itself after some seconds. */
export function endLeases(path: string): void {
  read(path, (database) => {
    const there = database.prepare(`select count(*) as n from sqlite_master where name = 'leases'`).get() as {
      n: number;
    };
    if (there.n > 0) database.prepare('delete from leases').run();
  });
}

/** How many rows still wait in the inbox and the outbox; for a look while the program runs. */
export function waitingRows(path: string): number {
  return read(path, (database) => {
    const { n } = database
      .prepare(
        `select (select count(*) from inbox where state = 'waiting') + (select count(*) from outbox where state = 'waiting') as n`,
      )
      .get() as { n: number };
    return n;
  });
}

/**
 * Files come as messages without words, after the words of the same row; the hint to Telegram's own way to share a
 * number belongs to the row before it.
 */
const isRest = ({ text, keyboard }: SentMessage): boolean => text === '' || (keyboard === 'contact' && HINT.test(text));

interface OutboxRow {
  position: number;
  address: string;
  to_staff: number;
  state: string;
  text: string;
  owner: string | null;
  /** The messenger's number of the message; not a number where none was marked. */
  messageId: number;
}

/** The account at the end: what was sent against what was taken in, done and answered. */
export function account(
  path: string,
  said: {
    sent: Sent[];
    /** The addresses of everybody who owns a truck. */
    owners: string[];
    /** What arrived in each chat of the messenger. */
    deliveries: Map<string, SentMessage[]>;
    /** What each page showed at the end, in its order. */
    pages: Map<string, string[]>;
    /** The message numbers at which a process was killed. */
    kills: number[];
  },
): Findings {
  return read(path, (database) => {
    const findings: Findings = {
      unanswered: [],
      twice: [],
      torn: [],
      repeatedInWindow: 0,
      repeatedOutside: [],
      outOfOrder: [],
      lost: [],
    };
    const outbox = (
      database
        .prepare(
          'select position, address, to_staff, state, payload, owner_id, external_message_id from outbox order by position',
        )
        .all() as (Pick<OutboxRow, 'position' | 'address' | 'to_staff' | 'state'> & {
        payload: string;
        owner_id: string | null;
        external_message_id: string | null;
      })[]
    ).map(({ payload, owner_id: owner, external_message_id, ...row }): OutboxRow => ({
      ...row,
      owner,
      text: (JSON.parse(payload) as { text: string }).text,
      messageId: Number(external_message_id ?? NaN),
    }));
    answered(database, said, outbox, findings);
    effectsOnce(database, said.owners, findings);
    deliveredOnce(said, outbox, findings);
    shownOnce(said.pages, outbox, findings);
    return findings;
  });
}

/** Every message was taken in once, worked on, and answered to whoever sent it, with an answer that has arrived. */
function answered(
  database: Sqlite.Database,
  { sent, owners }: { sent: Sent[]; owners: string[] },
  outbox: OutboxRow[],
  findings: Findings,
): void {
  const find = database.prepare('select seq, state from inbox where external_id = ?');
  const notice = database.prepare('select seq, state from inbox where external_id = ?');
  for (const { externalId, by, what } of sent) {
    const rows = [...find.all(externalId), ...notice.all(`notice:${externalId}`)] as { seq: number; state: string }[];
    const where = `${what} (${externalId} by ${by})`;
    if (rows.length > 1) findings.twice.push(`taken in twice: ${where}`);
    const [row] = rows;
    if (row?.state !== 'done') {
      findings.unanswered.push(`${row?.state ?? 'not taken in'}: ${where}`);
      continue;
    }
    const replies = outbox.filter(({ position }) => Math.floor(position / LINES_A_TURN) === row.seq);
    const toSender = replies.filter(({ address }) => address === by);
    if (owners.includes(by) && toSender.length === 0) findings.unanswered.push(`no reply: ${where}`);
    for (const { state } of replies.filter((reply) => reply.state !== 'sent')) {
      findings.unanswered.push(`reply ${state}: ${where}`);
    }
  }
}

/** One owner, one vehicle, one request, accepted once, closed once, with one record, for each person. */
function effectsOnce(database: Sqlite.Database, owners: string[], findings: Findings): void {
  const requests = requestsOf(database);
  const count = (sql: string, value: string): number => (database.prepare(sql).get(value) as { n: number }).n;
  for (const address of owners) {
    const links = database.prepare('select owner_id from owner_links where address = ?').all(address) as {
      owner_id: string;
    }[];
    const ownerId = links[0]?.owner_id ?? '';
    const expectOne = (what: string, n: number): void => {
      if (n > 1) findings.twice.push(`${n} × ${what} of person ${address}`);
      if (n < 1) findings.lost.push(`no ${what} of person ${address}`);
    };
    const own = requests.filter(({ owner_id }) => owner_id === ownerId);
    expectOne('owner', links.length);
    expectOne('vehicle', count('select count(*) as n from vehicles where owner_id = ?', ownerId));
    expectOne('request', own.length);
    expectOne('acceptance', own.flatMap(({ history }) => history).filter(({ what }) => what === 'accepted').length);
    expectOne('close', own.flatMap(({ history }) => history).filter(({ what }) => what === 'closed').length);
    expectOne('service record', count('select count(*) as n from service_records where owner_id = ?', ownerId));
    expectOne(
      'odometer reading from the close',
      count(`select count(*) as n from readings where owner_id = ? and source = 'staff'`, ownerId),
    );
  }
  const all = (database.prepare('select count(*) as n from owners').get() as { n: number }).n;
  if (all !== owners.length) findings.twice.push(`${all} owners for ${owners.length} people`);
}

/**
 * Compares what arrived in each chat with the rows that were to be sent, each known by the number that the messenger
 * gave its message. A message that no row knows is the first copy of one whose mark was lost: the price of a crash
 * between sending and marking, so a kill lies between the two copies. What is said about one owner keeps its order;
 * a staff chat hears of several owners, and between them there is none.
 */
function deliveredOnce(
  { deliveries, kills }: { deliveries: Map<string, SentMessage[]>; kills: number[] },
  outbox: OutboxRow[],
  findings: Findings,
): void {
  for (const [chat, arrived] of deliveries) {
    const rows = outbox.filter(({ address }) => address === chat);
    const lastOf = new Map<string | null, number>();
    const reached = new Set<OutboxRow>();
    const worded = arrived.filter((message) => !isRest(message));
    for (const [index, { message_id: id, text }] of worded.entries()) {
      const where = `chat ${chat}, message ${id}: ${text.slice(0, 60)}`;
      // A row keeps the number of the last of its messages.
      const end = worded[index + 1]?.message_id ?? Infinity;
      const marked = rows.find(({ messageId }) => id <= messageId && messageId < end);
      const row = marked ?? rows.find((later) => later.messageId > id && later.text === text);
      if (!row || row.text !== text) {
        findings.outOfOrder.push(`of no row: ${where}`);
        continue;
      }
      if (!marked) {
        if (kills.some((at) => id < at && at < row.messageId)) findings.repeatedInWindow += 1;
        else findings.repeatedOutside.push(where);
      }
      if (row.position < (lastOf.get(row.owner) ?? 0)) findings.outOfOrder.push(where);
      lastOf.set(row.owner, row.position);
      if (marked) reached.add(row);
    }
    for (const row of rows) {
      if (!reached.has(row)) findings.lost.push(`never arrived: ${row.text.slice(0, 60)} (chat ${chat})`);
    }
  }
}

/** A page shows what the database holds: each line once, in its order. */
function shownOnce(pages: Map<string, string[]>, outbox: OutboxRow[], findings: Findings): void {
  const squeezed = (text: string): string => text.replace(/\s+/g, ' ').trim();
  for (const [address, shown] of pages) {
    const lines = shown.map(squeezed);
    const rows = outbox.filter((row) => row.address === address).map(({ text }) => squeezed(text));
    for (const [index, text] of rows.entries()) {
      if (lines[index]?.startsWith(text)) continue;
      findings.lost.push(`not on the page in its place: ${text.slice(0, 60)} (${address.slice(0, 8)})`);
    }
    if (lines.length > rows.length) findings.twice.push(`${lines.length - rows.length} lines more on a page than kept`);
  }
}
