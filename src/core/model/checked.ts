/** One thing that is wrong in flows/, with its place. */
export interface FlowFinding {
  /** Path from the project's root, such as `flows/advice/rules.yaml`. */
  file: string;
  line: number;
  column?: number;
  /** What is wrong, and where it helps, what would be right. */
  message: string;
}

/** The content of one file of flows/, before it is checked. */
export interface FlowFile {
  path: string;
  text: string;
}

/** Either the checked content, or every finding; never both. */
export type Checked<T> = { ok: true; value: T } | { ok: false; findings: FlowFinding[] };

export const sound = <T>(value: T): Checked<T> => ({ ok: true, value });
export const unsound = <T>(findings: FlowFinding[]): Checked<T> => ({ ok: false, findings });

/** `FILE:LINE: what is wrong`, the one form in which findings are printed. */
export const findingLine = (finding: FlowFinding): string => `${finding.file}:${finding.line}: ${finding.message}`;
