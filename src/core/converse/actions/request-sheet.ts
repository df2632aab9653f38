import type { BookingRequest, Papers, Somebody } from '../../model/owner.ts';
import { staffText, type Scene } from '../scene.ts';
import { moneyWords, slotWords, truckName } from '../words.ts';
import { factLine, valueWords } from './write-up.ts';

/** What the shop receives, on one screen: who, which truck, what is wrong, what is advised and why, when, and what is unknown. */
export function requestSheet(scene: Scene, request: BookingRequest): string {
  const say = (id: string, values: Record<string, string | number>) => staffText(scene, id, values);
  const english: Scene = { ...scene, file: { ...scene.file, owner: { ...scene.file.owner, language: 'en' } } };
  const vehicle = scene.file.vehicles.find(({ id }) => id === request.vehicleId);
  const { owner } = scene.file;
  const facts = request.facts
    .filter(({ key }) => key !== 'symptoms')
    .map((fact) => {
      return say(fact.sure ? 'sheet-fact' : 'sheet-fact-unsure', {
        fact: factLine(english, fact),
        source: fact.source,
      });
    });
  const symptoms = request.facts
    .filter(({ key }) => key === 'symptoms')
    .map((fact) => valueWords(english, 'symptoms', fact.value));
  const services = request.advice.services
    .filter(({ id }) => request.services.includes(id))
    .map(({ id, because }) =>
      say('service-line', { service: scene.tools.serviceName(id, 'en'), because: because.join(' ') }),
    );
  const unknown = request.advice.stillUnknown
    .map(({ fact }) => staffText(scene, `fact-${fact.toLowerCase()}`))
    .join(', ');
  const parts = [
    say('sheet-head', {
      truck: truckName(english, vehicle, true),
      urgency: staffText(scene, `urgency-word-${request.advice.urgency}`),
    }),
    say('sheet-contact', { name: owner.name ?? '', phone: owner.phone ?? staffText(scene, 'no-phone') }),
    ...papersLines(scene, vehicle?.papers),
    say('sheet-time', { time: request.slot ? slotWords(request.slot, 'en') : staffText(scene, 'time-open') }),
    request.complaint.length > 0
      ? say('sheet-words', { words: request.complaint.map((words) => `"${words}"`).join('\n') })
      : '',
    symptoms.length > 0 && symptoms[0] !== '' ? say('sheet-symptoms', { symptoms: symptoms.join(', ') }) : '',
    facts.join('\n'),
    services.join('\n'),
    request.advice.shopNotes.join('\n'),
    unknown === '' ? '' : say('sheet-unknown', { facts: unknown }),
    say('sheet-estimate', { total: moneyWords(request.estimate.total, 'en') }),
  ];
  return parts.filter((part) => part !== '').join('\n');
}

/** Who drives, who approves and pays, and by which order, where the truck has such papers. */
function papersLines(scene: Scene, papers: Papers = {}): string[] {
  const who = ({ name, phone }: Somebody) => [name, phone].filter(Boolean).join(', ');
  const { driver, approver, payer, purchaseOrder } = papers;
  return [
    driver ? staffText(scene, 'sheet-driver', { who: who(driver) }) : '',
    approver ? staffText(scene, 'sheet-approver', { who: who(approver) }) : '',
    payer ? staffText(scene, 'sheet-payer', { who: who(payer) }) : '',
    purchaseOrder ? staffText(scene, 'sheet-order', { number: purchaseOrder }) : '',
  ];
}
