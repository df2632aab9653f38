import { sound, unsound, type Checked, type FlowFile } from '../model/checked.ts';
import { compileComplaints } from './complaints/mod.ts';
import type { Lexicon } from './read.ts';
import { compileValues } from './values/lexicon.ts';

/** Compiles the files of flows/language; every slip in them is a finding with file and line. */
export function compileLexicon(files: FlowFile[]): Checked<Lexicon> {
  const complaints = compileComplaints(files);
  const values = compileValues(files);
  if (complaints.ok && values.ok) return sound({ complaints: complaints.value, values: values.value });
  return unsound([complaints, values].flatMap((part) => (part.ok ? [] : part.findings)));
}
