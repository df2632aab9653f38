import { CORE_SCHEMA, load } from 'js-yaml';
import { isNode, LineCounter, parseDocument, type Document } from 'yaml';
import type { z } from 'zod';
import { nearest } from './nearest.ts';
import { sound, unsound, type Checked, type FlowFinding, type FlowFile } from './checked.ts';

/** A YAML file of flows/ after its shape was checked, which can still say on which line a part of it stands. */
export interface LocatedYaml<T> {
  path: string;
  value: T;
  /** A finding at the place of a key path, such as `['rules', 3, 'when']`; the nearest parent where the path ends early. */
  finding: (keys: readonly PropertyKey[], message: string) => FlowFinding;
}

/**
 * Reads one YAML file and checks it against a schema; every shape error becomes a finding with file, line and column.
 *
 * Two parsers share the work: the quick one gives the value, and the one that keeps places is asked only where a place
 * is to be named, or where the quick one refuses the text.
 */
export function parseFlowYaml<S extends z.ZodType>(file: FlowFile, schema: S): Checked<LocatedYaml<z.infer<S>>> {
  const places = placesOf(file);
  let raw: unknown;
  try {
    raw = load(file.text, { schema: CORE_SCHEMA });
  } catch {
    const { document, at } = places();
    if (document.errors.length > 0) {
      // What follows the first error mostly follows from it.
      return unsound(document.errors.slice(0, 1).map((error) => at(error.pos[0], `not valid YAML: ${error.message}`)));
    }
    raw = document.toJS();
  }
  const finding = (keys: readonly PropertyKey[], message: string): FlowFinding => {
    const { document, at } = places();
    return at(offsetOf(document, keys), message);
  };
  const parsed = schema.safeParse(raw);
  if (!parsed.success) {
    return unsound(
      parsed.error.issues.map((issue) => {
        const keys = issue.code === 'unrecognized_keys' ? [...issue.path, issue.keys[0] ?? ''] : issue.path;
        return finding(keys, `${keys.map(String).join('.') || 'the file'}: ${messageOf(issue, raw)}`);
      }),
    );
  }
  return sound({ path: file.path, value: parsed.data, finding });
}

/** The file with the place of each of its parts, parsed at the first call. */
function placesOf(file: FlowFile): () => { document: Document; at: (offset: number, message: string) => FlowFinding } {
  let known: ReturnType<ReturnType<typeof placesOf>> | undefined;
  return () => {
    if (known) return known;
    const lines = new LineCounter();
    const document = parseDocument(file.text, { lineCounter: lines, prettyErrors: false });
    const at = (offset: number, message: string): FlowFinding => {
      const { line, col } = lines.linePos(offset);
      return { file: file.path, line: Math.max(line, 1), column: col, message };
    };
    known = { document, at };
    return known;
  };
}

/** What is wrong; of a value that is none of those allowed, the nearest one where it is likely a slip. */
function messageOf(issue: z.core.$ZodIssue, content: unknown): string {
  if (issue.code !== 'invalid_value') return issue.message;
  const wrong = issue.path.reduce<unknown>((part, key) => (part as Record<PropertyKey, unknown>)[key], content);
  const likely = nearest(String(wrong), issue.values.map(String));
  return typeof wrong === 'string' && likely ? `Invalid option ${wrong}${likely}` : issue.message;
}

function offsetOf(document: Document, keys: readonly PropertyKey[]): number {
  for (let length = keys.length; length >= 0; length--) {
    const node: unknown = length === 0 ? document.contents : document.getIn(keys.slice(0, length), true);
    if (isNode(node) && node.range) return node.range[0];
  }
  return 0;
}
