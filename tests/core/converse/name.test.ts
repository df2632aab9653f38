import { describe, expect, it } from 'vitest';
import { nameIn } from '../../../src/core/converse/name.ts';

const LEADS = ['my name is', 'its', 'sure', 'this is', 'me llamo', 'soy'];

describe('the name in an answer', () => {
  it.each<[said: string, name: string | undefined, because: string]>([
    ['Robin Example', 'Robin Example', 'as it stands'],
    ['robin', 'robin', 'one word is enough'],
    ['my name is Robin Example.', 'Robin Example', 'without what is said before it, nor the full stop'],
    ['Sure, it’s Robin', 'Robin', 'two leads, and an apostrophe from a phone keyboard'],
    ['Me llamo Rosa del Ejemplo Muestra', 'Rosa del Ejemplo Muestra', 'a name of four words'],
    ['Robin Example 303-555-0133', 'Robin Example', 'without the phone number that came along'],
    ['Robin, (303) 555-0133', 'Robin', 'nor one with brackets'],
    ['J.R. O’Sample', 'J.R. O’Sample', 'points and an apostrophe belong to it'],
    ['soy', 'soy', 'a lead alone is taken for the name'],
    ['can you come get me', 'can you come get me', 'five words may be a name'],
    ['why do you need that?', undefined, 'a question is none'],
    ['I am on the shoulder of the highway', undefined, 'a sentence is none'],
    ['97000', undefined, 'a number is none'],
    ['303-555-0133', undefined, 'a phone number alone is none'],
    ['2015 6.7', undefined, 'nor a truck'],
    ['👍', undefined, 'nor a picture'],
    ['', undefined, 'nor nothing'],
  ])('%j is %j: %s', (said, name) => {
    expect(nameIn(said, LEADS)).toBe(name);
  });
});
