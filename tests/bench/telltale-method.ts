import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { judge, telltale } from '../../src/cli/simulate/own-method.ts';
import { straightLine, telltaleForecast } from '../../src/cli/simulate/forecasters.ts';
import { compileFollowUp, type FollowUpPolicy } from '../../src/core/follow-up/mod.ts';

export { judge, straightLine, telltale, telltaleForecast };

/** The setting with fewer messages, as flows/follow-up.yaml has it. */
export function fewerMessages(): FollowUpPolicy {
  const path = 'flows/follow-up.yaml';
  const text = readFileSync(join(import.meta.dirname, '../..', path), 'utf8');
  const settings = compileFollowUp([{ path, text }]);
  if (!settings.ok) throw new Error(settings.findings.map(({ message }) => message).join('; '));
  return settings.value.policies['fewer-messages'];
}
