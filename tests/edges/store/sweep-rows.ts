import type Sqlite from 'better-sqlite3';

/** Trucks that are stored beside those that matter, each with an owner, two readings and one planned message. */
export function storeTrucks(file: Sqlite.Database, from: number, count: number, firstDue: string): void {
  const numbers = `with recursive n(i) as (select ${from} union all select i + 1 from n where i < ${from + count - 1})`;
  const due = `strftime('%Y-%m-%dT%H:%M:%fZ', '${firstDue}', '+' || (i % 525600) || ' minutes')`;
  file.exec(`begin;
    ${numbers} insert into owners (id, revision, channel, language, zone, consent_at, consent_wording, created_at)
      select 'o' || i, 1, 'telegram', 'en', 'America/Denver', '2026-01-01T00:00:00.000Z', 'yes', '2026-01-01T00:00:00.000Z' from n;
    ${numbers} insert into vehicles (id, owner_id, ordinal, state, unknowable, created_at)
      select 'v' || i, 'o' || i, 0, 'active', '[]', '2026-01-01T00:00:00.000Z' from n;
    ${numbers} insert into readings (id, vehicle_id, owner_id, ordinal, miles, date, source)
      select 'r' || i || '-1', 'v' || i, 'o' || i, 0, 50000 + i % 90000, '2026-01-01', 'owner' from n union all
      select 'r' || i || '-2', 'v' || i, 'o' || i, 1, 53000 + i % 90000, '2026-04-01', 'owner' from n;
    ${numbers} insert into follow_ups (id, owner_id, vehicle_id, ordinal, kind, due_at, state, attempts, body)
      select 'f' || i, 'o' || i, 'v' || i, 0, 'odometer-check', ${due}, 'waiting', 0,
        '{"services":["fuel-filter-service"],"dueMiles":119000,"log":[{"at":"2026-04-01T00:00:00.000Z","what":"planned"}]}' from n;
    commit;`);
}

/** So many messages that fall due at an instant. */
export function storeDue(file: Sqlite.Database, count: number, dueAt: string, name: string): void {
  file
    .prepare(
      `insert into follow_ups (id, owner_id, vehicle_id, ordinal, kind, due_at, state, attempts, body)
       select 'due-' || ? || '-' || id, owner_id, vehicle_id, 1, kind, ?, state, 0, body from follow_ups limit ?`,
    )
    .run(name, dueAt, count);
}
