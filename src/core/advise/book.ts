import { sound, unsound, type Checked, type FlowFile, type FlowFinding } from '../model/checked.ts';
import { parseFlowYaml, type LocatedYaml } from '../model/flow-yaml.ts';
import { CAUTIONS, SERVICES, type CautionId, type ServiceId } from '../model/ids.ts';
import { CautionsFile, FactsFile, RulesFile, type Rule } from './advice-schema.ts';
import { comparisonsOf, type ConditionTree } from './condition.ts';
import { RULE_FACTS } from './situation.ts';
import { compileVehicles, type Vehicles } from './vehicles.ts';

/** A rule whose named conditions have been put in, with its place. */
export interface PlacedRule extends Rule {
  /** The facts of its condition. */
  facts: readonly string[];
  finding: (keys: readonly PropertyKey[], message: string) => FlowFinding;
}

export interface ServiceCautions {
  handsOn: boolean;
  cautions: readonly CautionId[];
  weight: number;
}

/** The shop's rule book, checked: what the advice is made from. */
export interface AdviceBook {
  rules: readonly PlacedRule[];
  vehicles: Vehicles;
  facts: ReadonlyMap<string, FactsFile['facts'][number]>;
  cautions: CautionsFile;
  services: ReadonlyMap<ServiceId, ServiceCautions>;
}

/** Reads flows/advice/ and flows/vehicles/ among `files`, and checks that every id, text and caution is there. */
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
  const facts = read(parseFlowYaml(only('facts.yaml'), FactsFile));
  const cautions = read(parseFlowYaml(only('cautions.yaml'), CautionsFile));
  const ruleFiles = files
    .filter((file) => /(^|\/)flows\/advice\/rules\/[^/]+\.ya?ml$/.test(file.path))
    .sort((a, b) => (a.path < b.path ? -1 : 1))
    .flatMap((file) => read(parseFlowYaml(file, RulesFile)) ?? []);
  if (!vehicles || !facts || !cautions) return unsound(findings);
  const rules = ruleFiles.flatMap((file) => placeRules(file, findings));
  findings.push(...checkFacts(facts), ...checkCautions(cautions), ...checkRules(rules));
  if (findings.length > 0) return unsound(findings);
  return sound({
    rules,
    vehicles,
    facts: new Map(facts.value.facts.map((fact) => [fact.id, fact])),
    cautions: cautions.value,
    services: new Map(cautions.value.services.map((service) => [service.id, service])),
  });
}

function placeRules(file: LocatedYaml<RulesFile>, findings: FlowFinding[]): PlacedRule[] {
  const { conditions, unless: always, rules } = file.value;
  const putIn = (tree: ConditionTree, place: readonly PropertyKey[], within: readonly string[] = []): ConditionTree => {
    if ('all' in tree) return { all: tree.all.map((part) => putIn(part, place, within)) };
    if ('any' in tree) return { any: tree.any.map((part) => putIn(part, place, within)) };
    if ('not' in tree) return { not: putIn(tree.not, place, within) };
    if (!('condition' in tree)) return tree;
    const named = conditions[tree.condition];
    if (!named || within.includes(tree.condition)) {
      const why = named ? 'is made of itself' : `is not among ${Object.keys(conditions).join(', ') || 'no conditions'}`;
      findings.push(file.finding(place, `the condition ${tree.condition} ${why}`));
      return { all: [] };
    }
    return putIn(named, place, [...within, tree.condition]);
  };
  return rules.map((rule, index) => {
    const place = ['rules', index] as const;
    const when = putIn(rule.when, [...place, 'when']);
    const unlesses = [rule.unless, always].filter((tree) => tree !== undefined);
    const unless = unlesses.length > 0 ? putIn({ any: unlesses }, [...place, 'unless']) : undefined;
    const comparisons = [when, ...(unless ? [unless] : [])].flatMap(comparisonsOf);
    return {
      ...rule,
      when,
      unless,
      facts: [...new Set(comparisons.map(({ fact }) => fact))],
      finding: (keys, message) => file.finding([...place, ...keys], message),
    };
  });
}

function checkFacts(file: LocatedYaml<FactsFile>): FlowFinding[] {
  const listed = file.value.facts.map(({ id }) => id);
  const wrong = listed.flatMap((id, index) =>
    RULE_FACTS.includes(id) ? [] : [file.finding(['facts', index, 'id'], `no code derives the fact ${id}`)],
  );
  const missing = RULE_FACTS.filter((id) => !listed.includes(id));
  if (missing.length > 0) wrong.push(file.finding(['facts'], `not described: ${missing.join(', ')}`));
  return wrong;
}

function checkCautions(file: LocatedYaml<CautionsFile>): FlowFinding[] {
  const missing = <T extends string>(all: readonly T[], listed: readonly T[], where: string): FlowFinding[] =>
    all.filter((id) => !listed.includes(id)).map((id) => file.finding([where], `${id} is missing under ${where}`));
  const { cautions, services } = file.value;
  const texts = cautions.map(({ id }) => id);
  const served = services.map(({ id }) => id);
  return [...missing(CAUTIONS, texts, 'cautions'), ...missing(SERVICES, served, 'services')];
}

function checkRules(rules: readonly PlacedRule[]): FlowFinding[] {
  const seen = new Set<string>();
  return rules.flatMap((rule) => {
    const findings: FlowFinding[] = [];
    if (seen.has(rule.id)) findings.push(rule.finding(['id'], `the id ${rule.id} is used twice`));
    seen.add(rule.id);
    for (const fact of rule.facts) {
      if (!RULE_FACTS.includes(fact)) findings.push(rule.finding(['when'], `unknown fact ${fact}`));
    }
    if (rule.advise.length > 0 && !rule.urgency) {
      findings.push(rule.finding([], `${rule.id} advises a service and needs an urgency`));
    }
    return findings;
  });
}
