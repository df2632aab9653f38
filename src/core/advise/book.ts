import { sound, unsound, type Checked, type FlowFile, type FlowFinding } from '../model/checked.ts';
import { parseFlowYaml, type LocatedYaml } from '../model/flow-yaml.ts';
import type { FactKey } from '../model/facts.ts';
import type { CautionId, ServiceId } from '../model/ids.ts';
import { nearest } from '../model/nearest.ts';
import { CautionsFile, FactsFile, RulesFile, type Rule } from './advice-schema.ts';
import { checkCautions, checkFacts, checkRules } from './book-check.ts';
import { CodesFile, compileCodes, type CodeGroups } from './codes.ts';
import { comparisonsOf, testOf, type Comparison, type ConditionTree, type Test } from './condition.ts';
import { figuresOf } from './engine-reach.ts';
import { Engines } from './engines.ts';
import { RULE_FACTS } from './rule-facts.ts';
import { compileServices, type ServiceBook } from './services.ts';
import { targetsOf, type Targets } from './targets.ts';
import { variablesOf, type Variable } from './variables.ts';
import { nothingWorked, type Worked } from './worked.ts';
import { compileVehicles, type Vehicles } from './vehicles.ts';

/** A rule whose named conditions have been put in, with its place. */
export interface PlacedRule extends Rule {
  /** Its comparisons with constants, those of `unless` apart. */
  comparisons: { when: readonly Comparison[]; unless: readonly Comparison[] };
  finding: (keys: readonly PropertyKey[], message: string) => FlowFinding;
  /** A finding where a comparison of the rule is written, which may be in a condition with a name. */
  findingAt: (comparison: Comparison, message: string) => FlowFinding;
}

export interface ReadyPart {
  test: Test;
  variables: readonly Variable[];
}

/** A rule made ready to be asked. */
export interface ReadyRule extends PlacedRule {
  /** Place in the book. */
  index: number;
  whenTest: Test;
  unlessTest: Test | undefined;
  /** Its comparisons made ready, with the open facts that each hangs on; those of `when`, and all of them. */
  whenParts: readonly ReadyPart[];
  parts: readonly ReadyPart[];
}

/** How a fact is asked for. */
export interface Question {
  likely: number;
  likelyUnasked: number;
  ask: boolean;
  askWhen: Test | undefined;
  askUnless: Test | undefined;
}

export interface ServiceCautions {
  handsOn: boolean;
  cautions: readonly CautionId[];
  weight: number;
}

/** The shop's rule book, checked: what the advice is made from. */
export interface AdviceBook {
  rules: readonly ReadyRule[];
  vehicles: Vehicles;
  engines: Engines;
  codeGroups: CodeGroups;
  facts: ReadonlyMap<string, FactsFile['facts'][number]>;
  questions: ReadonlyMap<FactKey, Question>;
  cautions: CautionsFile;
  services: ReadonlyMap<ServiceId, ServiceCautions>;
  /** Labour and prices. */
  catalogue: ServiceBook;
  /** What the advice says or does not say, with the rules that decide it. */
  targets: Targets;
  /** Answers that were worked out before, by what they hang on: they change nothing but the time. */
  worked: Worked;
}

/** What the rule files hold, before anything is asked of it. */
export interface AdviceSources {
  facts: LocatedYaml<FactsFile>;
  cautions: LocatedYaml<CautionsFile>;
  rules: readonly PlacedRule[];
}

/**
 * Reads flows/advice/, flows/vehicles/ and flows/services/ among `files`, and checks that every id, text, caution and
 * estimate is there.
 */
export function compileAdvice(files: readonly FlowFile[]): Checked<AdviceBook> {
  const findings: FlowFinding[] = [];
  const read = <T>(checked: Checked<T>): T | undefined => {
    if (checked.ok) return checked.value;
    findings.push(...checked.findings);
    return undefined;
  };
  const only = (name: string): FlowFile =>
    files.find((file) => file.path.endsWith(`flows/advice/${name}`)) ?? { path: `flows/advice/${name}`, text: '{}' };
  const vehicles = read(compileVehicles(files));
  const catalogue = vehicles && read(compileServices(files, vehicles));
  const facts = read(parseFlowYaml(only('facts.yaml'), FactsFile));
  const cautions = read(parseFlowYaml(only('cautions.yaml'), CautionsFile));
  const codes = read(parseFlowYaml(only('codes.yaml'), CodesFile));
  const ruleFiles = files
    .filter((file) => /(^|\/)flows\/advice\/rules\/[^/]+\.ya?ml$/.test(file.path))
    .sort((a, b) => (a.path < b.path ? -1 : 1))
    .flatMap((file) => read(parseFlowYaml(file, RulesFile)) ?? []);
  if (!vehicles || !catalogue || !facts || !cautions || !codes) return unsound(findings);
  const { groups: codeGroups, findings: wrongCodes } = compileCodes(codes);
  const rules = ruleFiles.flatMap((file) => placeRules(file, findings));
  findings.push(
    ...wrongCodes,
    ...checkFacts(facts, codeGroups),
    ...checkCautions(cautions),
    ...checkRules(rules, cautions.value, codeGroups),
  );
  if (findings.length > 0) return unsound(findings);
  const ready = rules.map(readyRule);
  const engines = new Engines(vehicles);
  return sound({
    rules: ready,
    vehicles,
    engines,
    codeGroups,
    facts: new Map(facts.value.facts.map((fact) => [fact.id, fact])),
    questions: new Map(facts.value.questions.map((question) => [question.fact, readyQuestion(question)])),
    cautions: cautions.value,
    services: new Map(cautions.value.services.map((service) => [service.id, service])),
    catalogue,
    targets: targetsOf(ready, codeGroups.sets, figuresOf(engines.families)),
    worked: nothingWorked(),
  });
}

/** Makes a rule ready to be asked. */
export function readyRule(rule: PlacedRule, index: number): ReadyRule {
  const partsOf = (comparisons: readonly Comparison[]): ReadyPart[] =>
    comparisons.map((comparison) => ({ test: testOf(comparison), variables: variablesOf(comparison.fact) }));
  const whenParts = partsOf(rule.comparisons.when);
  return {
    ...rule,
    index,
    whenTest: testOf(rule.when),
    unlessTest: rule.unless && testOf(rule.unless),
    whenParts,
    parts: [...whenParts, ...partsOf(rule.comparisons.unless)],
  };
}

const readyQuestion = ({
  likely,
  likelyUnasked,
  ask,
  askWhen,
  askUnless,
}: FactsFile['questions'][number]): Question => ({
  likely,
  likelyUnasked: likelyUnasked ?? likely,
  ask,
  askWhen: askWhen && testOf(askWhen),
  askUnless: askUnless && testOf(askUnless),
});

/** Puts the named conditions of a file into its rules. */
export function placeRules(file: LocatedYaml<RulesFile>, findings: FlowFinding[]): PlacedRule[] {
  const { conditions, unless: always, rules } = file.value;
  const used = new Set<string>();
  const places = new Map<ConditionTree, readonly PropertyKey[]>();
  const putIn = (tree: ConditionTree, place: readonly PropertyKey[], within: readonly string[] = []): ConditionTree => {
    if ('all' in tree) return { all: tree.all.map((part, n) => putIn(part, [...place, 'all', n], within)) };
    if ('any' in tree) return { any: tree.any.map((part, n) => putIn(part, [...place, 'any', n], within)) };
    if ('not' in tree) return { not: putIn(tree.not, [...place, 'not'], within) };
    if (!('condition' in tree)) {
      places.set(tree, place);
      return tree;
    }
    const { condition: name } = tree;
    used.add(name);
    const named = conditions[name];
    if (named && !within.includes(name)) return putIn(named, ['conditions', name], [...within, name]);
    const defined = Object.keys(conditions);
    const known = nearest(name, defined) || `; the file defines: ${defined.join(', ') || 'none'}`;
    const why = named ? 'is made of itself' : `is not defined${known}`;
    findings.push(file.finding(place, `the condition ${name} ${why}`));
    return { any: [] };
  };
  const placed = rules.map((rule, index): PlacedRule => {
    const place = ['rules', index] as const;
    const when = putIn(rule.when, [...place, 'when']);
    const unlesses = [
      ...(rule.unless ? [putIn(rule.unless, [...place, 'unless'])] : []),
      ...(always ? [putIn(always, ['unless'])] : []),
    ];
    const unless = unlesses.length > 0 ? { any: unlesses } : undefined;
    return {
      ...rule,
      when,
      unless,
      comparisons: { when: comparisonsOf(when), unless: unless ? comparisonsOf(unless) : [] },
      finding: (keys, message) => file.finding([...place, ...keys], message),
      findingAt: (comparison, message) => file.finding(places.get(comparison) ?? place, message),
    };
  });
  for (const name of Object.keys(conditions)) {
    if (!used.has(name)) findings.push(file.finding(['conditions', name], `no rule uses the condition ${name}`));
  }
  return placed;
}

/** Whether a fact is one that rules may speak of. */
export const isRuleFact = (fact: string): boolean => RULE_FACTS[fact] !== undefined;
