import type { FlowFinding } from '../../model/checked.ts';
import type { HolidayRule } from './holidays.ts';

/** What one holiday is called, with a finding at the place where it stands. */
export interface HolidayName {
  holiday: string;
  /** The words of the name with single spaces. */
  name: string;
  finding: (message: string) => FlowFinding;
}

/**
 * The rule of each holiday by its names. A name of two holidays or of one without a rule is a finding, and so is a
 * rule without any name.
 */
export function holidaysByName(
  names: readonly HolidayName[],
  rules: Readonly<Record<string, HolidayRule>>,
  atRule: (holiday: string, message: string) => FlowFinding,
  findings: FlowFinding[],
): Map<string, HolidayRule> {
  const byName = new Map<string, HolidayRule>();
  const named = new Map<string, string>();
  for (const { holiday, name, finding } of names) {
    const rule = rules[holiday];
    const other = named.get(name);
    if (!rule) findings.push(finding(`holidays.${holiday}: no values file has a rule for this holiday`));
    else if (other !== undefined && other !== holiday) {
      findings.push(finding(`holidays.${holiday}: "${name}" is a name of ${other} already`));
    } else byName.set(name, rule);
    named.set(name, holiday);
  }
  const known = new Set(named.values());
  for (const holiday of Object.keys(rules)) {
    if (!known.has(holiday)) findings.push(atRule(holiday, `holidays.${holiday}: no language has a name for it`));
  }
  return byName;
}
