import { z } from 'zod';
import { INTENTS, SYMPTOMS } from '../../model/ids.ts';
import { GRAMMAR_LISTS, type GrammarList } from './grammar.ts';
import { COMPLAINT_BOOLEANS } from './types.ts';

const Name = z.string().regex(/^[a-z][a-z0-9-]*$/, 'expected a name in small letters, digits and hyphens');
/** Words and phrases, written as one text with commas between them. */
const Entries = z
  .union([z.string(), z.number(), z.boolean()])
  .transform((text) =>
    String(text)
      .split(',')
      .map((entry) => entry.trim())
      .filter((entry) => entry !== ''),
  )
  .default([]);
const Names = Entries.pipe(z.array(Name));
const Symptoms = Entries.pipe(z.array(z.enum(SYMPTOMS)));
const Intents = Entries.pipe(z.array(z.enum(INTENTS)));
const Patterns = z.array(z.string().min(1)).default([]);

/** A class of words that mean the same for our purpose. */
export const WordClass = z.strictObject({
  /** Things of one kind compete for what is said beside them (fluid, part). */
  kind: z.string().optional(),
  /** Its entries hide the words inside them from all other classes, as those of every kind of thing do. */
  hides: z.boolean().default(false),
  /** Tells of trouble: a clause with it that nothing reads makes the complaint unsure. */
  trouble: z.boolean().default(false),
  /** Says that there is no trouble here ("i shut it down"): its words never count as unread trouble. */
  calm: z.boolean().default(false),
  /** Other classes whose entries belong here as well. */
  also: Names,
  en: Entries,
  es: Entries,
});
export type WordClass = z.infer<typeof WordClass>;

const Ways = {
  /** Idioms: word by word, little words left out or put in. */
  phrases: Entries,
  patterns: Patterns,
  /** Whole messages that must read as this and as nothing else; checked at start and used for likeness. */
  reads: z.array(z.string().min(1)).default([]),
};

/** One file of the complaint lexicon; every section may stand in any file. */
export const LexiconFile = z.strictObject({
  words: z.record(Name, WordClass).default({}),
  symptoms: z
    .partialRecord(
      z.enum(SYMPTOMS),
      z.strictObject({
        ...Ways,
        /** Patterns so plain that no opinion from the other words doubts them. */
        sure: Patterns,
        /** Patterns that only ask. */
        hints: Patterns,
        /** Patterns that say the symptom is absent. */
        absent: Patterns,
        /** Symptoms that this one explains where both are read from one sentence. */
        over: Symptoms,
        /** Symptoms that its words lean to as well: beside this one the words alone tell of none of them. */
        leansTo: Symptoms,
      }),
    )
    .default({}),
  /** What a denied word denies, without being a complaint by itself. */
  denials: z.array(z.strictObject({ when: z.string(), denies: Symptoms })).default([]),
  /** Words that always lead to a question when no pattern reads them. */
  dangers: z.array(z.strictObject({ word: z.string(), ask: Symptoms, unless: Names })).default([]),
  intents: z
    .partialRecord(
      z.enum(INTENTS),
      z.strictObject({
        ...Ways,
        /** Patterns that count only where nothing else is wished for and no complaint was read. */
        otherwise: Patterns,
        /** Messages that are nothing but this, politeness aside. */
        alone: Entries,
        over: Intents,
      }),
    )
    .default({}),
  facts: z
    .partialRecord(
      z.enum(COMPLAINT_BOOLEANS),
      z.strictObject({
        yes: Patterns,
        no: Patterns,
        /** What it is called, which says nothing until a yes or a no follows: "towing: no". */
        named: Patterns,
        /** Patterns that count only where the fact was asked for. */
        yesWhenAsked: Patterns,
        noWhenAsked: Patterns,
        /** Answers that lean to yes and are to be confirmed. */
        unsureWhenAsked: Patterns,
      }),
    )
    .default({}),
  /** The little words on which the division into clauses and the scopes rest. */
  grammar: z
    .strictObject({
      ...(Object.fromEntries(GRAMMAR_LISTS.map((name) => [name, Entries])) as Record<GrammarList, typeof Entries>),
      spellings: z.record(z.string(), z.string()).default({}),
      /** Two words that are one. */
      compounds: z.record(z.string().regex(/^\S+ \S+$/, 'expected two words'), z.string()).default({}),
      numbers: z.record(z.string(), z.number()).default({}),
      /** Marks that a telephone wrote down as it heard them. */
      spokenMarks: z.record(z.string(), z.enum([',', '.', '?'])).default({}),
    })
    .partial()
    .default({}),
  /** Everyday words that are never taken for a slip of a word above. */
  ordinary: Entries,
});
export type LexiconFile = z.infer<typeof LexiconFile>;
