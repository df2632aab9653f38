import type { Checked, FlowFile } from '../../model/checked.ts';
import type { Message } from '../text.ts';
import { compileLexicon } from './compile.ts';
import type { ComplaintLexicon } from './lexicon.ts';
import { readScene } from './reader.ts';
import type { ComplaintReading, Context } from './types.ts';

export type { ComplaintLexicon } from './lexicon.ts';
export type { ComplaintBoolean, ComplaintKey, ComplaintReading, Scope, ScopeKind } from './types.ts';

/** Compiles the complaint files of flows/language; every slip in them is a finding with file and line. */
export const compileComplaints = (files: FlowFile[]): Checked<ComplaintLexicon> => compileLexicon(files);

/**
 * Reads complaints, denials, wishes and yes-or-no facts from a message. It never throws; what is only hinted at stands
 * in `ask`, and what the text may not say in full is marked unsure. `asked` is the question that was open, `today`
 * the day of the message.
 */
export const readComplaints = (message: Message, context: Context, lexicon: ComplaintLexicon): ComplaintReading =>
  readScene(message, context, lexicon);
