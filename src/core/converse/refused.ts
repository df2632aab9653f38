import type { Listened } from './signals.ts';
import { effect, type Scene } from './scene.ts';

/** What staff did is not done, and they hear why; the owner's talk hears nothing. */
export const refused = (scene: Scene, because: string): Listened => ({
  scene: { ...effect(scene, { do: 'answer-staff', text: because }), heard: { text: because } },
  signals: [],
});
