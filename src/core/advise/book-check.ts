import type { FlowFinding } from '../model/checked.ts';
import type { LocatedYaml } from '../model/flow-yaml.ts';
import { CAUTIONS, SERVICES, SYMPTOMS } from '../model/ids.ts';
import { nearest } from '../model/nearest.ts';
import type { CautionsFile, FactsFile } from './advice-schema.ts';
import type { PlacedRule } from './book.ts';
import { ANY_CODE, type CodeGroups } from './codes.ts';
import { comparisonsOf, idsOf, type Comparison } from './condition.ts';
import { ENGINE_FACTS } from './engines.ts';
import { RULE_FACTS } from './rule-facts.ts';
import { VARIABLES } from './variables.ts';
import { FIGURES } from './wording.ts';

/** Every fact that code derives is described, and no other. */
export function checkFacts(file: LocatedYaml<FactsFile>, codeGroups: CodeGroups): FlowFinding[] {
  const listed = file.value.facts.map(({ id }) => id);
  const known = Object.keys(RULE_FACTS);
  const findings = listed.flatMap((id, index) => {
    const at = (message: string) => file.finding(['facts', index, 'id'], message);
    if (listed.indexOf(id) !== index) return [at(`the fact ${id} is described twice`)];
    return known.includes(id) ? [] : [at(`no code derives the fact ${id}${nearest(id, known)}`)];
  });
  const missing = known.filter((id) => !listed.includes(id));
  if (missing.length > 0) findings.push(file.finding(['facts'], `not described: ${missing.join(', ')}`));
  const asked = file.value.questions.map(({ fact }) => fact as string);
  const open = VARIABLES.flatMap((variable): readonly string[] => (variable === 'engine' ? ENGINE_FACTS : [variable]));
  for (const fact of open.filter((id) => !asked.includes(id))) {
    findings.push(file.finding(['questions'], `${fact} can be open and is not among the questions`));
  }
  file.value.questions.forEach(({ fact, askWhen, askUnless }, index) => {
    const place = ['questions', index];
    if (!open.includes(fact)) findings.push(file.finding(place, `no rule can hang on ${fact}`));
    const conditions = [askWhen, askUnless].filter((tree) => tree !== undefined);
    for (const comparison of conditions.flatMap(comparisonsOf)) {
      const wrong = wrongComparison(comparison, codeGroups);
      if (wrong) findings.push(file.finding(place, wrong));
    }
  });
  return findings;
}

/** Every caution has its text and every service its cautions; hands-on work has at least one. */
export function checkCautions(file: LocatedYaml<CautionsFile>): FlowFinding[] {
  const { cautions, services } = file.value;
  const missing = <T extends string>(all: readonly T[], listed: readonly T[], where: string): FlowFinding[] =>
    all.filter((id) => !listed.includes(id)).map((id) => file.finding([where], `${id} is missing under ${where}`));
  return [
    ...missing(
      CAUTIONS,
      cautions.map(({ id }) => id),
      'cautions',
    ),
    ...missing(
      SERVICES,
      services.map(({ id }) => id),
      'services',
    ),
  ];
}

/** Ids, facts, urgencies, cautions and figures of the rules. */
export function checkRules(
  rules: readonly PlacedRule[],
  cautions: CautionsFile,
  codeGroups: CodeGroups,
): FlowFinding[] {
  const seen = new Set<string>();
  const unguarded = new Set(
    cautions.services.filter((service) => service.handsOn && service.cautions.length === 0).map(({ id }) => id),
  );
  return rules.flatMap((rule) => {
    const findings: FlowFinding[] = [];
    if (seen.has(rule.id)) findings.push(rule.finding(['id'], `the id ${rule.id} is used twice`));
    seen.add(rule.id);
    for (const part of ['when', 'unless'] as const) {
      for (const comparison of rule.comparisons[part]) {
        const wrong = wrongComparison(comparison, codeGroups);
        if (wrong) findings.push(rule.findingAt(comparison, wrong));
      }
    }
    if (rule.advise.length > 0 && !rule.urgency) {
      findings.push(rule.finding(['id'], `${rule.id} advises a service and needs an urgency`));
    }
    rule.advise.forEach(({ service, because }, index) => {
      if (unguarded.has(service)) {
        const message = `${service} is hands-on work without cautions; give it some in cautions.yaml, or say handsOn: false`;
        findings.push(rule.finding(['advise', index, 'service'], message));
      }
      findings.push(...unknownFigures(because, rule, ['advise', index, 'because']));
    });
    rule.notAdvised.forEach(({ because }, index) => {
      findings.push(...unknownFigures(because, rule, ['notAdvised', index, 'because']));
    });
    if (rule.note) findings.push(...unknownFigures(rule.note, rule, ['note']));
    if (rule.shopNote) findings.push(...unknownFigures(rule.shopNote, rule, ['shopNote']));
    return findings;
  });
}

function wrongComparison(comparison: Comparison, codeGroups: CodeGroups): string | undefined {
  const fact = RULE_FACTS[comparison.fact];
  if (!fact) return `unknown fact ${comparison.fact}${nearest(comparison.fact, Object.keys(RULE_FACTS))}`;
  const unknown = (ids: readonly string[], known: readonly string[]): string | undefined => {
    const wrong = ids.find((id) => !known.includes(id));
    return wrong === undefined ? undefined : `${comparison.fact} has no ${wrong}${nearest(wrong, known)}`;
  };
  switch (fact.kind) {
    case 'number': {
      if (!('from' in comparison || 'below' in comparison)) return `${comparison.fact} is a number: use from and below`;
      const { from = -Infinity, below = Infinity } = comparison;
      return from < below ? undefined : `${comparison.fact} from ${from} below ${below} can never hold`;
    }
    case 'choice':
      if ('is' in comparison) return unknown([String(comparison.is)], fact.values);
      if ('isOneOf' in comparison) return unknown(comparison.isOneOf.map(String), fact.values);
      return `${comparison.fact} is one of ${fact.values.join(', ')}: use is or isOneOf`;
    case 'list': {
      if (!('has' in comparison)) return `${comparison.fact} is a list: use has`;
      const known = comparison.fact === 'symptoms' ? SYMPTOMS : [...codeGroups.ids, ANY_CODE];
      return unknown(idsOf(comparison.has), known);
    }
    default: {
      const never: never = fact;
      return never;
    }
  }
}

function unknownFigures(
  wording: { en: string; es: string },
  rule: PlacedRule,
  place: readonly PropertyKey[],
): FlowFinding[] {
  return (['en', 'es'] as const).flatMap((language) =>
    [...wording[language].matchAll(/\{(\w*)\}/g)].flatMap(([, name = '']) => {
      if ((FIGURES as readonly string[]).includes(name)) return [];
      return [rule.finding([...place, language], `no figure is called ${name}${nearest(name, FIGURES)}`)];
    }),
  );
}
