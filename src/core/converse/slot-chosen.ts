import type { Slot } from '../model/booking.ts';
import type { Scene } from './scene.ts';

/** The slot that was tapped, or the one that the wanted day leaves. */
export function slotChosen(scene: Scene): Slot | null {
  const { offered, wantedTime } = scene.file.conversation;
  const index = /^s(\d)$/.exec(scene.heard.option ?? '')?.[1];
  if (index !== undefined) return offered[Number(index)] ?? null;
  if (!wantedTime || !('date' in wantedTime)) return offered[0] ?? null;
  const half = (slot: Slot) => (Number(slot.start.slice(11, 13)) < 12 ? 'morning' : 'afternoon');
  const fits = (slot: Slot) =>
    slot.start.startsWith(wantedTime.date) && (wantedTime.part === 'any' || wantedTime.part === half(slot));
  return offered.find(fits) ?? offered[0] ?? null;
}
