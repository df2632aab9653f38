import type { Message } from './text.ts';
import type { ComplaintReading } from './complaints/types.ts';
import type { Askable } from '../model/reading.ts';
import { sound, type Checked, type FlowFile } from '../model/checked.ts';

/** Reads no complaint at all; stands in until the complaint reader is there. */
export type ComplaintLexicon = Record<string, never>;
export const compileComplaints = (_files: FlowFile[]): Checked<ComplaintLexicon> => sound({});
export const readComplaints = (
  _message: Message,
  _context: { asked?: Askable },
  _lexicon: ComplaintLexicon,
): ComplaintReading => ({
  symptoms: [],
  deniedSymptoms: [],
  symptomsUnsure: false,
  ask: [],
  booleans: {},
  booleansUnsure: [],
  words: {},
  scopes: [],
  unread: [],
  offers: [],
});
