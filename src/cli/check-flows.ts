import { findingLine, type Checked, type FlowFinding } from '../core/model/checked.ts';

/**
 * The `check-flows` command over what the compile functions say: a line for each finding, once, in the order of files
 * and lines, and the exit code, 1 where there is any.
 */
export function checkFlows(parts: readonly Checked<unknown>[], more: readonly FlowFinding[] = []) {
  const findings = [...parts.flatMap((part) => (part.ok ? [] : part.findings)), ...more];
  const inOrder = [...findings].sort(
    (a, b) => compare(a.file, b.file) || a.line - b.line || (a.column ?? 0) - (b.column ?? 0),
  );
  const lines = [...new Set(inOrder.map(findingLine))];
  return { lines, exitCode: lines.length > 0 ? 1 : 0 };
}

const compare = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);
