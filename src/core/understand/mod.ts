/** Understanding: what an owner's text says, as facts with the words they came from. */
export { isRead, lessonFile, lessonsOf, type LabelledClause, type Lesson, type NoLesson } from './learn.ts';
export { compileLexicon } from './compile.ts';
export { read, type Lexicon } from './read.ts';
