import { existsSync, statSync } from 'node:fs';
import { stderr, stdout } from 'node:process';
import { analyseAdvice, compileAdvice } from '../../core/advise/mod.ts';
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
  const files = readFlowsFolder(folder);
  // What rules do together can be told only of a book whose parts are sound; it takes too long for every start.
  const advice = compileAdvice(files);
  const { lines, exitCode } = checkFlows([compileFlows(files)], advice.ok ? analyseAdvice(advice.value) : []);
  for (const line of lines) stdout.write(`${line}\n`);
  stderr.write(lines.length === 0 ? 'nothing wrong found\n' : `${lines.length} found\n`);
  return Promise.resolve(exitCode);
}
