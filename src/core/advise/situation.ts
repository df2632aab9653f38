import { DateTime } from 'luxon';
import type { Facts, FactKey } from '../model/facts.ts';
import { DANGER_SYMPTOMS, type Symptom } from '../model/ids.ts';
import type { IsoDate } from '../model/time.ts';
import type { CodeGroups } from './codes.ts';
import type { EngineClass, Engines } from './engines.ts';
import { yearFitsVin } from './vehicles-vin.ts';

/** What may still be true of a list: members for certain, whether that is all of them, and what is denied. */
export interface ListView {
  members: ReadonlySet<string>;
  closed: boolean;
  denied: ReadonlySet<string>;
}

/** The bits of a yes-or-no fact that may still be true: 1 no, 2 yes, 3 not known. */
export type Bits = number;
export const NO: Bits = 1;
export const YES: Bits = 2;
export const EITHER: Bits = 3;

/** A number that is not known. Miles are never negative. */
export const UNTOLD = -1;

/** The facts of one truck as the rules see them. Unsure facts are unknown here, except danger symptoms. */
export interface Situation {
  engine: EngineClass;
  odometerMiles: number;
  lastFuelFilterMiles: number;
  pumpFittedAtMiles: number;
  lastOilChangeMiles: number;
  oilChangeIntervalMiles: number;
  /** Not a number where date or today are not known. */
  monthsSinceFuelFilter: number;
  tows: Bits;
  breatherOriginal: Bits;
  pumpProtected: Bits;
  pumpReplaced: Bits;
  metalFound: Bits;
  symptoms: ListView;
  /** Groups of trouble codes. */
  codes: ListView;
  tamper: Bits;
  coverageTold: Bits;
  vinTold: Bits;
  /** No where a model year is told and the VIN's year code stands for another one. */
  yearFitsVin: Bits;
  engineFits: Bits;
  /** Either where the day of first use or today is not known. */
  firstUseWithinFiveYears: Bits;
  /**
   * False: what is not known counts as the shop takes it for now (the present pump is the first one, say).
   * True: everything that could still be answered counts as possible; what then is true or false stays so.
   */
  open: boolean;
}

const NOTHING: ReadonlySet<string> = new Set();
const UNTOLD_LIST: ListView = { members: NOTHING, closed: false, denied: NOTHING };

export const bitsOf = (value: boolean | undefined): Bits => (value === undefined ? EITHER : value ? YES : NO);
export const isDanger = (symptom: Symptom): boolean => (DANGER_SYMPTOMS as readonly Symptom[]).includes(symptom);

/** A fact that is told and sure. */
export function sure<K extends FactKey>(facts: Facts, key: K): Facts[K] | undefined {
  return facts.unsure?.includes(key) ? undefined : facts[key];
}

/** The symptoms: told they are closed; a danger symptom that is unsure counts until it is denied. */
export function symptomsOf(facts: Facts): ListView {
  const told = facts.symptoms;
  const denied: ReadonlySet<string> = facts.deniedSymptoms ? new Set(facts.deniedSymptoms) : NOTHING;
  if (told === undefined) return denied.size > 0 ? { members: NOTHING, closed: false, denied } : UNTOLD_LIST;
  if (!facts.unsure?.includes('symptoms')) return { members: new Set(told), closed: true, denied: NOTHING };
  const dangers = told.filter((symptom) => isDanger(symptom) && !denied.has(symptom));
  return { members: new Set(dangers), closed: false, denied };
}

/** What a situation needs beside the facts. */
export interface Surroundings {
  engines: Engines;
  codeGroups: CodeGroups;
  /** In the shop's zone; without it nothing is due by months. */
  today?: IsoDate | undefined;
}

/** Puts the facts of one truck into the form that rules read. */
export function situationOf(facts: Facts, { engines, codeGroups, today }: Surroundings): Situation {
  const codes = sure(facts, 'troubleCodes');
  const vin = sure(facts, 'vin');
  const modelYear = sure(facts, 'modelYear');
  const filterDate = sure(facts, 'lastFuelFilterDate');
  const firstUse = sure(facts, 'inServiceDate');
  return {
    engine: engines.classOf(facts),
    odometerMiles: sure(facts, 'odometerMiles') ?? UNTOLD,
    lastFuelFilterMiles: sure(facts, 'lastFuelFilterMiles') ?? UNTOLD,
    pumpFittedAtMiles: sure(facts, 'pumpFittedAtMiles') ?? UNTOLD,
    lastOilChangeMiles: sure(facts, 'lastOilChangeMiles') ?? UNTOLD,
    oilChangeIntervalMiles: sure(facts, 'oilChangeIntervalMiles') ?? UNTOLD,
    monthsSinceFuelFilter: filterDate && today ? monthsBetween(filterDate, today) : NaN,
    tows: bitsOf(sure(facts, 'tows')),
    breatherOriginal: bitsOf(sure(facts, 'breatherOriginal')),
    pumpProtected: bitsOf(sure(facts, 'pumpProtected')),
    pumpReplaced: bitsOf(sure(facts, 'pumpReplaced')),
    metalFound: bitsOf(sure(facts, 'metalFound')),
    symptoms: symptomsOf(facts),
    codes: codes ? { members: codeGroups.of(codes), closed: true, denied: NOTHING } : UNTOLD_LIST,
    tamper: bitsOf(facts.intent === 'tamper'),
    coverageTold: bitsOf(facts.coverage !== undefined && facts.coverage !== ''),
    vinTold: bitsOf(vin !== undefined),
    yearFitsVin: bitsOf(vin === undefined || modelYear === undefined || yearFitsVin(modelYear, vin)),
    engineFits: bitsOf(!engines.contradicts(facts)),
    firstUseWithinFiveYears: bitsOf(firstUse && today ? monthsBetween(firstUse, today) < 60 : undefined),
    open: false,
  };
}

const monthsBetween = (from: IsoDate, to: IsoDate): number =>
  DateTime.fromISO(to, { zone: 'utc' }).diff(DateTime.fromISO(from, { zone: 'utc' }), 'months').months;
