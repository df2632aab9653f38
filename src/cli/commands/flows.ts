import { stderr } from 'node:process';
import { findingLine, type Checked } from '../../core/model/checked.ts';

/** The checked content, or the program's end with every finding on standard error. */
export function orExit<T>(checked: Checked<T>): T {
  if (checked.ok) return checked.value;
  stderr.write(`${checked.findings.map(findingLine).join('\n')}\n`);
  process.exit(2);
}
