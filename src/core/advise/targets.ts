import { URGENCIES, type ServiceId, type Urgency } from '../model/ids.ts';
import type { ReadyRule } from './book.ts';
import { FALSE, TRUE } from './condition.ts';
import { rank } from './decide.ts';
import { likenessOf, type Figures, type Likeness } from './likeness.ts';
import { Comparisons, judgedRule, residueOf, type JudgedRule, type Residue } from './residue.ts';
import { outlookOf, type Outlook } from './samples.ts';
import { variablesOf, type Variable } from './variables.ts';
import { kept } from './worked.ts';

/** Something that the advice says or does not say: a service, or an urgency at least as high as this one. */
export interface Target {
  id: ServiceId | Urgency;
  rules: readonly ReadyRule[];
  outlook: Outlook;
  /** The places of its rules in the book. */
  places: readonly number[];
  /** An urgency that only comes with a service which nothing less urgent advises: what raises it changes a service. */
  followsServices: boolean;
  /** What was found to be left open of it, by how its comparisons stand. */
  prospects: Map<string, Prospect>;
}

/** All services, and all urgencies above the lowest, with the rules that decide them. */
export interface Targets {
  all: readonly Target[];
  /** Every rule of the book by its place, reading how its comparisons stand. */
  judged: readonly JudgedRule[];
  comparisons: Comparisons;
  codeSets: readonly ReadonlySet<string>[];
  figures: Figures;
  /** Rules less what is settled of them, by how their comparisons stand. */
  open: Map<string, OpenRule>;
}

/** A rule that can still come to decide a target, and what it looks at by itself. */
export interface OpenRule extends Residue {
  /** A number for each way in which a rule can be left open. */
  serial: number;
  outlook: Outlook;
}

/** What is left open of a target: the rules that can still come to decide it, less what is settled of them. */
export interface Prospect {
  /** A number for each prospect. */
  serial: number;
  rules: readonly OpenRule[];
  comparisons: Comparisons;
  /** The places of the comparisons that are left. */
  left: readonly number[];
  /** For each variable the places of those that hang on it. */
  places: ReadonlyMap<Variable, readonly number[]>;
  /** The facts that it can hang on. */
  variables: readonly Variable[];
  outlook: Outlook;
  likeness: Likeness;
}

export function targetsOf(
  rules: readonly ReadyRule[],
  codeSets: readonly ReadonlySet<string>[],
  figures: Figures,
): Targets {
  const comparisons = new Comparisons();
  const judged = rules.map((rule) => judgedRule(rule, comparisons));
  const advising = rules.filter(({ advise }) => advise.length > 0);
  const target = (id: Target['id'], deciding: readonly ReadyRule[]): Target => ({
    id,
    rules: deciding,
    outlook: outlookOf(deciding, codeSets),
    places: deciding.map((rule) => rules.indexOf(rule)),
    followsServices:
      deciding.every(({ advise }) => advise.length > 0) && advising.every((rule) => deciding.includes(rule)),
    prospects: new Map(),
  });
  const services = [...new Set(rules.flatMap(({ advise }) => advise.map(({ service }) => service)))];
  const all = [
    ...services.map((id) =>
      target(
        id,
        rules.filter(({ advise }) => advise.some(({ service }) => service === id)),
      ),
    ),
    ...URGENCIES.filter((urgency) => urgency !== 'watch').map((id) =>
      target(
        id,
        rules.filter(({ urgency }) => urgency !== undefined && rank(urgency) <= rank(id)),
      ),
    ),
  ];
  return { all, judged, comparisons, codeSets, figures, open: new Map() };
}

/** How each rule of the book stands with everything open, by its place: decided either way, or what is left of it. */
export type RuleStandings = readonly (typeof HOLDS | typeof FAILS | OpenRule)[];
const HOLDS = true;
const FAILS = false;

export function ruleStandings(truths: Uint8Array, targets: Targets): RuleStandings {
  return targets.judged.map((judged) => {
    const { rule, places, when, unless } = judged;
    const holds = when(truths);
    if (holds === FALSE) return FAILS;
    const against = unless ? unless(truths) : FALSE;
    if (against === TRUE) return FAILS;
    if (holds === TRUE && against === FALSE) return HOLDS;
    let standing = `${rule.index}:`;
    for (const place of places) standing += truths[place];
    return kept(targets.open, standing, () => openRule(rule, truths, targets));
  });
}

/** What is left open of a target, given how the rules stand; undefined where it is decided. */
export function prospectOf(target: Target, standings: RuleStandings, targets: Targets): Prospect | undefined {
  let key = '';
  for (const place of target.places) {
    const standing = standings[place];
    if (standing === HOLDS) return undefined;
    if (standing) key += `${standing.serial};`;
  }
  if (key === '') return undefined;
  return kept(target.prospects, key, () => {
    const live = target.places.map((place) => standings[place]);
    return newProspect(
      live.filter((standing): standing is OpenRule => typeof standing === 'object'),
      targets,
    );
  });
}

let serials = 0;

function openRule(rule: ReadyRule, truths: Uint8Array, { comparisons, codeSets }: Targets): OpenRule {
  const residue = residueOf(rule, truths, comparisons);
  return { ...residue, serial: ++serials, outlook: outlookOf([residue], codeSets) };
}

function newProspect(rules: readonly OpenRule[], { comparisons, codeSets, figures }: Targets): Prospect {
  const variables = [...new Set(rules.flatMap((rule) => rule.variables))];
  const left = [...new Set(rules.flatMap((rule) => rule.places))];
  const places = new Map<Variable, number[]>(variables.map((variable) => [variable, []]));
  for (const place of left) {
    const fact = comparisons.all[place]?.fact ?? '';
    for (const variable of variablesOf(fact)) places.get(variable)?.push(place);
  }
  const outlook = outlookOf(rules, codeSets);
  const likeness = likenessOf(variables, outlook, figures);
  return { serial: ++serials, rules, comparisons, left, places, variables, outlook, likeness };
}
