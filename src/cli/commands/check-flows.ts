import { existsSync, statSync } from 'node:fs';
import { stderr, stdout } from 'node:process';
import { compileFlows } from '../../core/mod.ts';
import { FLOWS_FOLDER, readFlowsFolder } from '../../flows-folder.ts';
import { checkFlows } from '../check-flows.ts';

/** Checks a flows folder, the project's own by default; every finding is one line on standard output. */
export function run([folder = FLOWS_FOLDER, ...more]: string[]): Promise<number> {
  if (more.length > 0) {
    stderr.write('check-flows takes one folder at most\n');
    return Promise.resolve(2);
  }
  if (!existsSync(folder) || !statSync(folder).isDirectory()) {
    stderr.write(`there is no folder ${folder}\n`);
    return Promise.resolve(2);
  }
  const { lines, exitCode } = checkFlows([compileFlows(readFlowsFolder(folder))]);
  for (const line of lines) stdout.write(`${line}\n`);
  stderr.write(lines.length === 0 ? 'nothing wrong found\n' : `${lines.length} found\n`);
  return Promise.resolve(exitCode);
}
