import { describe, expect, it } from 'vitest';
import { checkFlows } from '../../src/cli/check-flows.ts';
import { analyseAdvice, compileAdvice } from '../../src/core/advise/mod.ts';
import { compileFlows, type FlowFile, type FlowFinding } from '../../src/core/mod.ts';
import { readFlowsFolder } from '../../src/flows-folder.ts';
import { SLIPS, type Slip } from './broken-flows.ts';

const files = readFlowsFolder();

/** What the book of advice is made of; all else leaves what its rules do together as it is. */
const ofAdvice = (given: readonly FlowFile[]): FlowFile[] =>
  given.filter(({ path }) => /^flows\/(advice|vehicles|services)\//.test(path));

const analysed = new Map<string, FlowFinding[]>();

/** What the rules of a book do together, which takes seconds to find out: once for the same files. */
function analysisOf(given: readonly FlowFile[]): FlowFinding[] {
  const own = ofAdvice(given);
  const key = JSON.stringify(own);
  const known = analysed.get(key);
  if (known) return known;
  const advice = compileAdvice(own);
  const findings = advice.ok ? analyseAdvice(advice.value) : [];
  analysed.set(key, findings);
  return findings;
}

/** What the check-flows command prints of a shop's files with one slip in them. */
function printed({ file, from, to, inFile }: Slip): { lines: string[]; exitCode: number; text: string } {
  const changed = files.map((each) => (each.path === file ? { ...each, text: each.text.replace(from, to) } : each));
  const text = changed.find(({ path }) => path === (inFile ?? file))?.text ?? '';
  return { ...checkFlows([compileFlows(changed)], analysisOf(changed)), text };
}

/** The line on which a text begins to differ from another one, or on which a part of it stands. */
function lineIn(text: string, { file, at }: Slip): number {
  const before = files.find(({ path }) => path === file)?.text ?? '';
  if (at !== undefined) return (text.includes(at) ? text : before).split(at)[0]?.split('\n').length ?? 0;
  const first = [...text].findIndex((letter, index) => letter !== before[index]);
  return text.slice(0, first).split('\n').length;
}

describe('a slip in the shop’s files', () => {
  it.each(SLIPS.map((slip) => [slip.slip, slip] as const))('%s is told with its file and line', (_name, slip) => {
    expect(files.find(({ path }) => path === slip.file)?.text).toContain(slip.from);
    const { lines, exitCode, text } = printed(slip);
    expect(exitCode).toBe(1);
    for (const line of lines) expect(line).toMatch(/^flows\/[^:\n]+:\d+: [^\n]+$/);
    const told = lines.filter((line) => line.includes(slip.says));
    expect(told, lines.join('\n')).not.toEqual([]);
    const at = lineIn(text, slip);
    expect(told.map((line) => line.split(': ')[0]), told.join('\n')).toContain(`${slip.inFile ?? slip.file}:${at}`);
  }, 600_000);
});
