/** Replies that one turn may put out, with room for the message itself before them. */
const LINES_A_TURN = 1000;

/** Where the owner's message stands in the conversation: before everything that its turn answers. */
export const messagePosition = (inboxSeq: number): number => inboxSeq * LINES_A_TURN;

/**
 * Names a reply by its inbox row and ordinal, in a number that rises with the conversation: a turn that is run again
 * cannot put the same reply out twice.
 *
 * @throws RangeError where a turn answers with more than 999 replies
 */
export function positionOf(inboxSeq: number, ordinal: number): number {
  if (ordinal >= LINES_A_TURN - 1) throw new RangeError('more replies than a turn may have');
  return messagePosition(inboxSeq) + 1 + ordinal;
}

/** `i12-0`: the first reply to inbox row 12. */
export const outboxId = (position: number): string =>
  `i${Math.floor(position / LINES_A_TURN)}-${(position % LINES_A_TURN) - 1}`;

/** The position behind an id as `outboxId` writes it; -1 where it is none. */
export function positionOfId(id: string): number {
  const [, row, ordinal] = /^i(\d+)-(\d+)$/.exec(id) ?? [];
  return row === undefined || ordinal === undefined ? -1 : positionOf(Number(row), Number(ordinal));
}

/** The inbox row at or before a position. */
export const inboxSeqAt = (position: number): number => Math.floor(position / LINES_A_TURN);
