import { describe, expect, it } from 'vitest';
import { facts, reading } from './lexicon.ts';

const asked = { asked: 'confirm', today: '2026-08-03' } as const;
const answer = (text: string): unknown => reading(text, asked).facts.answer;

describe('yes, no, or neither', () => {
  it.each([
    'yes', 'Yes.', 'YES!!', 'y', 'yep', 'yup', 'yeah', 'yessir', 'ya', 'yea man', 'sure', 'sure thing', 'ok', 'k', 'okay',
    'correct', 'thats correct', 'right', 'thats right', "that's right", 'thats it', 'thats the one', 'that is correct',
    'you got it', 'exactly', 'absolutely', 'of course', 'definitely', '10-4', 'ten four', 'roger that', 'affirmative',
    '👍', '👍🏽', '✅', '💯', '👌', 'sounds good', 'looks right', 'looks good to me', 'works for me', 'that works', 'go ahead',
    'go for it', 'do it', 'lets do it', 'please do', 'yes please', 'uh huh', 'mhm', 'you bet', 'no problem', 'no worries',
    'no doubt', 'why not', 'cant complain', 'nothing to change', 'no objection', 'perfect', 'great', 'all good', 'im good with that yes',
    'yes thank you', 'yes, all correct', 'hell yeah', 'bingo', 'true', 'aye', 'spot on', 'nothing wrong with that',
    'sí', 'si', 'simón', 'claro', 'claro que sí', 'así es', 'correcto', 'exacto', 'está bien', 'ándale', 'órale', 'sale',
    'dale', 'de acuerdo', 'por supuesto', 'no hay problema', 'sin problema', 'sí, gracias', 'cómo no', 'eso es', 'va',
  ])('%j is a yes', (text) => {
    expect(answer(text)).toBe('yes');
  }); // prettier-ignore

  it.each([
    'no', 'No.', 'NO!', 'nope', 'nah', 'naw', 'no sir', 'no thanks', 'negative', 'wrong', 'thats wrong', 'incorrect',
    'not right', 'thats not right', 'not correct', 'not mine', 'not my truck', 'not quite', 'not really', 'not even close',
    'no way', 'never mind', 'nvm', '👎', '❌', 'yeah no', 'yeah no thats wrong', 'yeah thats not it', 'that doesnt work',
    'doesnt work for me', 'wont work', 'cant make it', 'i cant', 'no good', 'hell no', 'heck no', 'absolutely not', 'no its the other one',
    'wrong truck', 'thats the other truck', 'it isnt', 'no, thats my wifes truck', 'no that was the old one',
    'no', 'nel', 'para nada', 'no es', 'está mal', 'no, está mal', 'incorrecto', 'no gracias', 'claro que no', 'no puedo',
    'esa no', 'es la otra', 'ya no',
  ])('%j is a no', (text) => {
    expect(answer(text)).toBe('no');
  }); // prettier-ignore

  it.each([
    'maybe', 'i think so', 'i guess', 'probably', 'not sure', 'idk', 'no idea', 'yes and no', 'kinda', 'sort of', 'huh', 'what?',
    'who is this', 'let me check', 'lemme ask my wife', 'hold on', 'hang on', 'one sec', 'depends', 'i believe so', 'close enough i guess',
    'dunno', 'yes i think', 'yeah probably', 'should be', '?', '🤷', '🤔', 'ask me later', 'hmm', 'call me', 'lol',
    'creo que sí', 'no sé', 'quién sabe', 'tal vez', 'déjame ver', 'más o menos', 'a lo mejor', 'qué', 'puede ser', 'pos no sé',
  ])('%j is unclear', (text) => {
    expect(answer(text)).toBe('unclear');
  }); // prettier-ignore

  it.each([
    ['no its a 2016', { answer: 'no', modelYear: 2016 }],
    ['nope, 2016', { answer: 'no', modelYear: 2016 }],
    ['no 118k', { answer: 'no', 'odometerMiles?': 118_000 }],
    ['nope 118,400', { answer: 'no', 'odometerMiles?': 118_400 }],
    ['wrong its the 6.4', { answer: 'no', engineLitres: 6.4 }],
    ['no, the 6.7 v8', { answer: 'no', engineLitres: 6.7, cylinders: 8, layout: 'V' }],
    ['actually 118,400', { answer: 'no', 'odometerMiles?': 118_400 }],
    ['no es 2016', { answer: 'no', modelYear: 2016 }],
  ])('%j corrects', (text, expected) => {
    expect(facts(text, asked)).toEqual(expected);
  });
});

describe('a value that answers something else', () => {
  it.each([
    ['it is a 2014', undefined, '"it is" presents the year'],
    ['it has 80k miles', undefined, 'the "k" belongs to the number'],
    ['no, it is a 2014', 'no', 'the no is said'],
    ['yes it is a 2014', 'yes', 'the yes is said'],
  ])('in "%s" is no yes and no spoken no: %s, since %s', (text, spoken, _why) => {
    const { facts, words } = reading(text, { asked: 'confirm' });
    expect(facts.answer).toBe(spoken ?? 'no');
    expect(words.answer === undefined ? undefined : facts.answer).toBe(spoken);
  });
});
