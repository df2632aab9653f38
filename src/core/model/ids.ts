/** Identifiers of the trade, one word for one thing. The same ids stand in flows/, in the database and on the command line. */

export const SYMPTOMS = [
  'no-crank',
  'cranks-no-start',
  'hard-start',
  'stalls',
  'loss-of-power',
  'reduced-power-message',
  'surging',
  'rough-idle',
  'knock',
  'pump-whine',
  'black-smoke',
  'white-smoke',
  'blue-smoke',
  'fuel-smell',
  'fuel-leak',
  'metal-in-fuel',
  'water-in-fuel',
  'wrong-fuel',
  'check-engine',
  'low-fuel-pressure',
  'overheating',
  'coolant-loss',
  'oil-leak',
  'low-oil-pressure',
  'exhaust-smell-in-cab',
  'frequent-regeneration',
  'particulate-filter-warning',
  'exhaust-fluid-warning',
  'turbo-noise',
  'poor-economy',
  'runaway',
  'fire-or-smoke',
  'brake-fault',
  'steering-fault',
  'charging-fault',
  'vibration',
  'transmission-slip',
  'other',
] as const;
export type Symptom = (typeof SYMPTOMS)[number];

/** Symptoms that are answered before anything else, because driving on can hurt someone or ruin the engine. */
export const DANGER_SYMPTOMS = [
  'fire-or-smoke',
  'runaway',
  'brake-fault',
  'steering-fault',
  'exhaust-smell-in-cab',
  'fuel-leak',
  'wrong-fuel',
  'metal-in-fuel',
  'low-oil-pressure',
  'overheating',
] as const satisfies readonly Symptom[];

export const SERVICES = [
  'fuel-contamination-check',
  'pump-protection-kit',
  'fuel-system-replacement',
  'fuel-system-flush',
  'fuel-filter-service',
  'water-separator-drain',
  'fuel-pressure-test',
  'injector-test',
  'scan-diagnosis',
  'egr-cooler-inspection',
  'intake-inspection',
  'intake-cleaning',
  'crankcase-breather-filter',
  'cooling-system-test',
  'turbo-inspection',
  'charge-air-leak-test',
  'particulate-filter-diagnosis',
  'exhaust-leak-inspection',
  'oil-service',
  'leak-inspection',
  'electrical-test',
  'brake-steering-inspection',
  'transmission-diagnosis',
  'chassis-inspection',
  'tow-in',
  'leak-recheck',
] as const;
export type ServiceId = (typeof SERVICES)[number];

/** Highest first. */
export const URGENCIES = ['do-not-drive', 'prompt', 'planned', 'watch'] as const;
export type Urgency = (typeof URGENCIES)[number];

export const CAUTIONS = [
  'do-not-start',
  'do-not-drive',
  'call-emergency',
  'high-pressure-fuel',
  'fire-risk',
  'hot-parts',
  'hot-coolant',
  'carbon-monoxide',
  'sudden-power-loss',
  'runaway-engine',
  'lifting',
  'emissions-law',
  'local-code',
] as const;
export type CautionId = (typeof CAUTIONS)[number];

export const INTENTS = [
  'service',
  'price',
  'book',
  'reschedule',
  'cancel',
  'person',
  'opt-out',
  'opt-in',
  'help',
  'odometer',
  'tamper',
] as const;
export type Intent = (typeof INTENTS)[number];

export const LANGUAGES = ['en', 'es'] as const;
export type Language = (typeof LANGUAGES)[number];
