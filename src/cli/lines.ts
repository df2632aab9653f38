import { createInterface } from 'node:readline';
import type { Readable, Writable } from 'node:stream';

/** Answers one parsed line; `{ error }` where the line is not of the command's shape. */
export type Answer = (line: unknown) => object;

/**
 * Runs a command over JSON Lines: one answer a line, in order, each written before the next is read. A line that is no
 * JSON is answered in its place, and the stream goes on. Resolves with whether every line was answered without error.
 */
export async function answerLines(input: Readable, output: Writable, answer: Answer): Promise<boolean> {
  let good = true;
  let number = 0;
  for await (const text of createInterface({ input, crlfDelay: Infinity })) {
    number += 1;
    const result = answerText(text, number, answer);
    if ('error' in result) good = false;
    if (!output.write(`${JSON.stringify(result)}\n`)) await new Promise((resolve) => output.once('drain', resolve));
  }
  return good;
}

function answerText(text: string, number: number, answer: Answer): object {
  let line: unknown;
  try {
    line = JSON.parse(text.replace(/^\uFEFF/, ''));
  } catch (error) {
    return { error: `line ${number} is not valid JSON: ${error instanceof Error ? error.message : 'unreadable'}` };
  }
  const result = answer(line);
  return 'error' in result && typeof result.error === 'string' ? { error: `line ${number}: ${result.error}` } : result;
}
