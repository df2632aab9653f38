/** Understanding: what an owner's text says, as facts with the words they came from. */
export { compileLexicon, read, type Lexicon } from './read.ts';
