import { slotNamed, type Entry, type Facts, type Flows, type Instant, type Papers, type Slot } from '../core/mod.ts';
import type { Store } from '../edges/store/types.ts';
import { words, type CommandMeans, type StaffCommand } from './means.ts';
import { factsSaid } from './facts-said.ts';
import { clockOn, dayFrom, isoOf } from './when.ts';
import { servicesSaid } from './services-said.ts';
import { diaryOf } from './work.ts';

/**
 * The file that somebody who phoned or walked in belongs to: that of the same phone number where there is one, else a
 * new one without a chat, named after the entry so that a repeated one makes no second.
 */
export async function ownerOfEntry(
  { phone }: Pick<Entry, 'phone'>,
  externalId: string,
  { store, flows, now }: { store: Store; flows: Flows; now: () => Instant },
): Promise<string> {
  const digits = phone.replace(/\D/g, '');
  const known = digits.length >= 7 ? await store.views.search(digits, 5) : [];
  const same = known.find(({ owner }) => (owner.phone ?? '').replace(/\D/g, '').endsWith(digits));
  if (same) return same.owner.id;
  const id = `o-${externalId}`.replace(/[^\w-]/g, '-');
  await store.transaction(async (tx) => {
    if (await tx.loadFile(id)) return;
    await tx.addOwner({ id, channel: 'web', address: null, language: 'en', zone: flows.shop.zone, at: now() });
    await tx.addChanges([{ at: now(), kind: 'owner', ownerId: id, subject: id }]);
  });
  return id;
}

/**
 * Five lines, as somebody talks on the phone: name and number; the truck in words; the services; day and time, or
 * "open"; what is wrong (may be left out).
 */
export async function enter(rest: string, means: CommandMeans): Promise<StaffCommand> {
  const [who = '', truck = '', work = '', when = '', ...wrong] = rest.split('\n').map((text) => text.trim());
  const [name = '', ...phoneParts] = who.split(',').map((text) => text.trim());
  const phone = phoneParts.join(' ').trim();
  const { services, unclear } = servicesSaid(work, means.flows);
  if (name === '' || phone === '' || truck === '' || services.length === 0 || unclear || when === '') {
    if (unclear && when !== '') {
      return words('staff-service-unclear', means, { said: unclear.said, near: unclear.near.join(', ') || '–' });
    }
    return words('staff-enter-how', means);
  }
  const complaint = wrong.join('\n').trim();
  const told = truckOf(truck, complaint, means);
  const slot = await slotOf(when, services, told.facts, means);
  if (slot === 'wrong') return words('staff-enter-how', means);
  if (slot === 'taken') return words('staff-move-not-free', means, { id: '' });
  const entry: Entry = { name, phone, ...told, services, slot, complaint };
  const ownerId = await ownerOfEntry(entry, means.externalId, means);
  return { kind: 'action', ownerId, action: { do: 'enter', entry } };
}

/** The truck as it is told and what is wrong with it, as facts; "unit 7" and "PO 1234" are the truck's papers. */
function truckOf(said: string, complaint: string, means: CommandMeans): { facts: Facts; papers?: Papers } {
  const unit = /\bunit\s+#?([\w-]+)/i.exec(said);
  const order = /\bPO\s+#?([\w-]+)/i.exec(said);
  const truck = said.replace(unit?.[0] ?? '', '').replace(order?.[0] ?? '', '');
  const facts = factsSaid({ truck, complaint }, means.flows, means.now());
  const papers = { ...(unit?.[1] && { unit: unit[1] }), ...(order?.[1] && { purchaseOrder: order[1] }) };
  return { facts, ...(Object.keys(papers).length > 0 && { papers }) };
}

async function slotOf(
  when: string,
  services: Entry['services'],
  facts: Facts,
  means: CommandMeans,
): Promise<Slot | null | 'wrong' | 'taken'> {
  if (/^open$/i.test(when)) return null;
  const [dayText = '', clockText = '', bay] = when.split(/\s+/);
  const day = dayFrom(dayText, means.now(), means.flows.shop.zone);
  const start = day && clockOn(day, clockText);
  if (!start) return 'wrong';
  const named = { start: isoOf(start), services, facts, ...(bay !== undefined && { bay }) };
  return slotNamed(named, await diaryOf(means), means.flows, means.now()) ?? 'taken';
}
