import type { Papers, Somebody } from '../core/mod.ts';
import { headOf, words, type CommandMeans, type StaffCommand } from './means.ts';

/** "r-12.0 unit 7; driver Ned Fallow 555-0119; approves Rosalind Oakshott 555-0117; pays …; PO 4471": of its truck. */
export async function papers(rest: string, means: CommandMeans): Promise<StaffCommand> {
  const [id, said] = headOf(rest);
  const view = await means.store.views.request(id);
  if (!view) return words('staff-no-request', means);
  const kept: Papers = {};
  const parts = said
    .split(';')
    .map((part) => part.trim())
    .filter(Boolean);
  for (const part of parts) {
    const [, key = '', value = ''] = /^(unit|driver|approves|pays|po)\s+(.+)$/i.exec(part) ?? [];
    switch (key.toLowerCase()) {
      case 'unit':
        kept.unit = value;
        break;
      case 'driver':
        kept.driver = somebody(value);
        break;
      case 'approves':
        kept.approver = somebody(value);
        break;
      case 'pays':
        kept.payer = somebody(value);
        break;
      case 'po':
        kept.purchaseOrder = value;
        break;
      default:
        return words('staff-papers-how', means, { id });
    }
  }
  if (parts.length === 0) return words('staff-papers-how', means, { id });
  const { vehicleId } = view.request;
  return { kind: 'action', ownerId: view.owner.id, action: { do: 'keep-papers', vehicleId, papers: kept } };
}

function somebody(text: string): Somebody {
  const phone = /[\d(][\d\s().-]{5,}$/.exec(text)?.[0].trim();
  const name = phone === undefined ? text : text.slice(0, text.length - phone.length).replace(/[\s,]+$/, '');
  return { name, ...(phone !== undefined && { phone }) };
}
