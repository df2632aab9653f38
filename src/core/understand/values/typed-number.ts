import type { Scan } from './cues.ts';
import type { NumberMention, Part } from './number-mention.ts';

/** A number typed in digits with its separators. */
export function typedAt(scan: Scan, taken: ReadonlySet<number>, first: number): Part | undefined {
  const { pieces } = scan;
  const head = pieces[first];
  if (head?.kind !== 'number' || taken.has(first) || head.text.length > 15) return undefined;
  const group = (index: number): string | undefined => {
    const mark = pieces[index];
    const digits = pieces[index + 1];
    const apart = mark?.spaced === false && digits?.spaced === false && digits.kind === 'number';
    return apart && [',', '.', "'"].includes(mark.text) && !taken.has(index + 1) ? digits.text : undefined;
  };
  const mark = pieces[first + 1]?.text;
  const letters = head.letters ?? pieces[first + 2]?.letters;
  const common = { leadingZero: head.text.length > 1 && head.text.startsWith('0') };
  const second = group(first + 1);
  const part = (next: number, text: string, mention: Partial<NumberMention>): Part => ({
    next,
    value: Number(text),
    digits: true,
    mention: { ...common, length: text.split('.')[0]?.length ?? 0, ...(letters ? { letters } : {}), ...mention },
  });
  const third = group(first + 3);
  // "1,18,500": the grouping of India, by two digits before the last three.
  if (
    second?.length === 2 &&
    third?.length === 3 &&
    mark === ',' &&
    pieces[first + 3]?.text === ',' &&
    head.text.length <= 2 &&
    !common.leadingZero
  ) {
    return part(first + 5, head.text + second + third, { grouped: 'mark' });
  }
  if (second !== undefined && second.length === 3 && head.text.length <= 3 && !common.leadingZero) {
    let text = head.text + second;
    let next = first + 3;
    while (text.length < 12 && group(next)?.length === 3 && pieces[next]?.text === mark) {
      text += group(next) as string;
      next += 2;
    }
    const decimals = group(next);
    if (decimals !== undefined && decimals.length <= 2 && pieces[next]?.text !== mark) {
      return part(next + 2, `${text}.${decimals}`, { grouped: 'mark', decimals: decimals.length });
    }
    return part(next, text, { grouped: 'mark' });
  }
  if (second !== undefined && second.length <= 2 && mark !== "'") {
    // "1.2.3" is a date or a version, "2016,16" a list.
    const more = group(first + 3);
    const list = mark === ',' && (head.text.length > 3 || second.length === 2);
    if (more === undefined && !list) {
      return part(first + 3, `${head.text}.${second}`, { decimals: second.length });
    }
  }
  const year = /^(19|20)\d\d$/.test(head.text);
  if (
    second !== undefined &&
    mark === ',' &&
    !year &&
    head.text.length <= 4 &&
    second.length >= 3 &&
    second.length <= 5
  ) {
    return part(first + 3, head.text + second, { grouped: 'wrong' });
  }
  return part(first + 1, head.text, {});
}
