import { ReadRequest, type ReadResult } from '../core/model/reading.ts';
import { read, type Lexicon } from '../core/understand/kept.ts';

/** What the command answers for one line: the reading, or what is wrong with the line and where. */
export type ReadAnswer = Pick<ReadResult, 'facts' | 'words' | 'ask' | 'doesNotKnow'> | { error: string };

/**
 * The `read` command: one input object in, one output object out. Distances are in miles, dates ISO 8601 days. A line
 * that is not of the shape is answered by what is wrong and where; it never throws.
 */
export function readCommand(lexicon: Lexicon): (input: unknown) => ReadAnswer {
  return (input) => {
    const request = ReadRequest.safeParse(input);
    if (!request.success) {
      const [issue] = request.error.issues;
      const extra = issue?.code === 'unrecognized_keys' ? issue.keys : [];
      const place = [...(issue?.path ?? []), ...extra.slice(0, 1)].map(String).join('.') || 'the line';
      return { error: `${place}: ${issue?.message ?? 'unreadable'}` };
    }
    const { facts, words, ask, doesNotKnow } = read(request.data, lexicon);
    return { facts, words, ...(ask ? { ask } : {}), ...(doesNotKnow ? { doesNotKnow } : {}) };
  };
}
