export { advise } from './advise.ts';
export { compileAdvice, type AdviceBook } from './book.ts';
