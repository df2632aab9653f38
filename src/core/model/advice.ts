import type { Facts, FactKey } from './facts.ts';
import type { CautionId, ServiceId, Symptom, Urgency } from './ids.ts';

/** Two ends of a range, both inclusive. Hours are in tenths, money in the currency's main unit. */
export interface Range {
  low: number;
  high: number;
}

export interface AdvisedService {
  id: ServiceId;
  /** One sentence each, in the language that was asked for. */
  because: string[];
  /** The rules that advised it. */
  rules: string[];
  labourHours: Range;
}

/** What the rules conclude from the facts. */
export interface Advice {
  urgency: Urgency;
  services: AdvisedService[];
  /** All the services done together, shared tear-down counted once. */
  bundle: { labourHours: Range; savedHours: Range };
  cautions: { id: CautionId; text: string }[];
  /** Facts whose answer could still change the advice, the most weighty first. */
  stillUnknown: { fact: FactKey; couldChange: string[] }[];
  /** What might be expected and is not advised, with the reason. */
  notAdvised: { id: ServiceId; because: string }[];
}

/** What stands beside the contract's advice for the conversation and for the shop's view. */
export interface AdviceInFull extends Advice {
  /** What to do now, at most two sentences, where there is danger. */
  doNow: string[];
  /** The cautions that go with the most urgent of it: what a message of danger shows. */
  cautionsNow?: CautionId[];
  /** Short remarks for the owner that are no service: a recall look-up, "the shop will confirm which pump it has". */
  notes: string[];
  /** Remarks for the shop: possible warranty, fitting data, what to check at arrival. */
  shopNotes: string[];
  /** Of the open facts those that the owner should be asked for, the most weighty first. */
  ask?: FactKey[];
  /** Mileage at which a service would become due, where that is known. */
  dueAt: { id: ServiceId; miles: number }[];
  /** The danger symptoms that the advice answers. */
  dangers: Symptom[];
  /** Candidates for the engine family, by id; one when it is known. */
  families: string[];
}

export interface Estimate {
  labourHours: Range;
  parts: Range;
  total: Range;
  currency: 'USD';
  lines: { service: ServiceId; text: string; labourHours: Range; parts: Range }[];
  /** What the figures leave out, in words: tax, supplies, … */
  leftOut: string[];
  /** True where nothing but finding out is priced, because the complaint has not been diagnosed. */
  diagnosisOnly?: boolean;
  /** Where diagnosis and inspection end unless the owner is asked: hours, money in all, and the same in words. */
  limit?: { hours: number; total: number; text: string };
  breakEven?: { installedCost: Range; avoidedCost: Range; paysAboveChance: Range; text: string };
}

export interface AdviseRequest {
  facts: Facts;
}
export interface EstimateRequest {
  facts: Facts;
  services: ServiceId[];
}
