import type { Checked, FlowFile } from '../model/checked.ts';
import { sound, unsound } from '../model/checked.ts';
import type { ReadRequest, ReadResult } from '../model/reading.ts';
import { compileComplaints, readComplaints, type ComplaintLexicon } from './complaints-placeholder.ts';
import { readMessage } from './text.ts';

/** Everything that the reader knows of the language of owners, compiled from flows/language. */
export interface Lexicon {
  complaints: ComplaintLexicon;
}

/** Compiles the files of flows/language; every slip in them is a finding with file and line. */
export function compileLexicon(files: FlowFile[]): Checked<Lexicon> {
  const complaints = compileComplaints(files);
  return complaints.ok ? sound({ complaints: complaints.value }) : unsound(complaints.findings);
}

/**
 * Reads what an owner's message says as facts. It never throws and never guesses: what could mean two things is named
 * in `facts.unsure` or left out.
 */
export function read(request: ReadRequest, lexicon: Lexicon): ReadResult {
  const message = readMessage(request.text);
  const complaints = readComplaints(message, request.asked ? { asked: request.asked } : {}, lexicon.complaints);
  const result: ReadResult = { facts: {}, words: {}, language: message.language };
  if (complaints.symptoms.length > 0) result.facts.symptoms = complaints.symptoms;
  if (complaints.deniedSymptoms.length > 0) result.facts.deniedSymptoms = complaints.deniedSymptoms;
  if (complaints.intent) result.facts.intent = complaints.intent;
  Object.assign(result.facts, complaints.booleans);
  Object.assign(result.words, complaints.words);
  if (complaints.ask.length > 0) result.ask = complaints.ask;
  if (complaints.unread.length > 0) result.unread = complaints.unread;
  if (complaints.symptomsUnsure) result.facts.unsure = ['symptoms'];
  return result;
}
