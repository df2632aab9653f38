import { z } from 'zod';
import type { FlowFinding } from '../model/checked.ts';
import type { LocatedYaml } from '../model/flow-yaml.ts';

const CODE = /^[PCBU][0-3][0-9A-F]{3}$/;

/** flows/advice/codes.yaml: what diagnostic trouble codes point to. */
export const CodesFile = z.strictObject({
  groups: z.array(
    z.strictObject({
      id: z.string().regex(/^[a-z-]+$/),
      says: z.strictObject({ en: z.string().min(1), es: z.string().min(1) }),
      codes: z.array(z.string()).min(1),
      source: z.string().min(1),
    }),
  ),
});
export type CodesFile = z.infer<typeof CodesFile>;

interface CodeGroup {
  id: string;
  spans: { from: string; to: string }[];
}

/** The group of every code, known or not. */
export const ANY_CODE = 'any';

/** Code groups by id, in the order of the file. */
export interface CodeGroups {
  ids: readonly string[];
  /** The groups that codes belong to, with `any` where there is at least one code. */
  of(codes: readonly string[]): ReadonlySet<string>;
  /** Every way in which one code can fall into groups. */
  sets: readonly ReadonlySet<string>[];
}

/** Reads the spans of the groups; ends of a span are inclusive and in the order of the hexadecimal digits. */
export function compileCodes(file: LocatedYaml<CodesFile>): { groups: CodeGroups; findings: FlowFinding[] } {
  const findings: FlowFinding[] = [];
  const groups: CodeGroup[] = file.value.groups.map((group, index) => {
    const spans = group.codes.flatMap((written, nth) => {
      const [from = '', to = from] = written.split('-');
      if (CODE.test(from) && CODE.test(to) && from <= to) return [{ from, to }];
      const message = `${written} is neither a trouble code nor a span of them, such as P0087 or P0088-P0092`;
      findings.push(file.finding(['groups', index, 'codes', nth], message));
      return [];
    });
    return { id: group.id, spans };
  });
  findings.push(...overlaps(file, groups));
  const of = (codes: readonly string[]): ReadonlySet<string> => {
    const found = new Set<string>(codes.length > 0 ? [ANY_CODE] : []);
    for (const { id, spans } of groups) {
      if (codes.some((code) => spans.some(({ from, to }) => code >= from && code <= to))) found.add(id);
    }
    return found;
  };
  // Groups change only where a span begins or where the code after one begins; the latter lies in no span or begins one.
  const begins = groups.flatMap(({ spans }) => spans.flatMap(({ from, to }) => [from, to]));
  const sets = new Map([...begins, 'B3FFF'].map((code) => [[...of([code])].join(), of([code])]));
  return { groups: { ids: groups.map(({ id }) => id), of, sets: [...sets.values()] }, findings };
}

/** A code points to one thing: spans of two groups that share a code are a mistake. */
function overlaps(file: LocatedYaml<CodesFile>, groups: readonly CodeGroup[]): FlowFinding[] {
  return groups.flatMap((group, index) =>
    groups.slice(0, index).flatMap((before) =>
      group.spans.flatMap((span) => {
        const other = before.spans.find(({ from, to }) => span.from <= to && from <= span.to);
        if (!other) return [];
        const shared = span.from > other.from ? span.from : other.from;
        return [file.finding(['groups', index, 'codes'], `${shared} stands under ${before.id} already`)];
      }),
    ),
  );
}
