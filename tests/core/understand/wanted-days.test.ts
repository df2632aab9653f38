import { describe, expect, it } from 'vitest';
import type { Askable } from '../../../src/core/model/reading.ts';
import { read } from '../../../src/core/understand/mod.ts';
import { lexicon } from './reading.ts';

/** 2026-11-04 is a Wednesday. */
const TODAY = '2026-11-04';

/** A wanted time in one line: the day or the span, the part of the day, and a question mark where it is to be confirmed. */
function when(text: string): string {
  const { wantedTime, unsure = [] } = read({ text, asked: 'wantedTime', today: TODAY }, lexicon).facts;
  if (!wantedTime) return 'none';
  const days = 'date' in wantedTime ? wantedTime.date : `${wantedTime.from} to ${wantedTime.to}`;
  const part = wantedTime.part === 'any' ? '' : ` ${wantedTime.part}`;
  return `${days}${part}${unsure.includes('wantedTime') ? '?' : ''}`;
}
type Row = [text: string, wanted: string, why: string];

describe('months and their parts', () => {
  it.each<Row>([
    ['december works', '2026-12-01 to 2026-12-31', 'a month is a span'],
    ['sometime in january or february', '2027-01-01 to 2027-02-28', 'two months in a row'],
    ['february or march', '2027-02-01 to 2027-03-31', 'march is no verb here'],
    ['por ahí en diciembre', '2026-12-01 to 2026-12-31', 'the same in Spanish'],
    ['el mes que viene', '2026-12-01 to 2026-12-31', 'the next one'],
    ['late november', '2026-11-24 to 2026-11-30?', 'its last seven days'],
    ['para finales de mes', '2026-11-24 to 2026-11-30?', 'the end of the month'],
    ['end of next month', '2026-12-25 to 2026-12-31?', 'of the next one'],
    ['el fin', '2026-11-07 to 2026-11-08', 'the weekend, where no month follows'],
    ['mid december', '2026-12-11 to 2026-12-20?', 'the middle ten days'],
    ['early december', '2026-12-01 to 2026-12-10?', 'early in the month, not in the day'],
    ['second week of december', '2026-12-08 to 2026-12-14?', 'counted from the first'],
    ['la última semana del mes', '2026-11-24 to 2026-11-30?', 'counted from the end'],
    ['first monday in december', '2026-12-07', 'a weekday of a month'],
    ['last friday of the month', '2026-11-27', 'the same, from the end'],
    ['next month, the 5th', '2026-12-05', 'the day lies in the month before it'],
    ['el 5 del mes que entra', '2026-12-05', 'the same'],
    ['not until january', '2027-01-01 to 2027-01-31?', 'from then on'],
    ['april 31', 'none', 'no such day, and not the whole month'],
    ['the 31st of june', 'none', 'the same'],
    ['i may be able to', 'none', 'a verb'],
    ['we may have company friday, so thursday', '2026-11-05', 'a verb before a day'],
    ['december 3, i hope to be paid by the end of the month', '2026-12-03', 'a day tells more than a month'],
  ])('%s: %s, %s', (text, wanted) => {
    expect(when(text)).toBe(wanted);
  });
});

describe('two days, days that are ruled out, and bounds', () => {
  it.each<Row>([
    ['mon n tues both work', '2026-11-09 to 2026-11-10', 'n for and'],
    ['mon, tues', '2026-11-09 to 2026-11-10', 'listed with a comma'],
    ['the 12th, 13th or 14th', '2026-11-12 to 2026-11-14', 'three in a row'],
    [
      'tuesday or wednesday',
      '2026-11-10 to 2026-11-11',
      'today is a wednesday, and the one after the tuesday is meant',
    ],
    ['monday or friday', '2026-11-06 to 2026-11-09?', 'only the two days, the nearer first'],
    ['i work monday thru thursday so friday', '2026-11-06', 'what follows from a span of work'],
    ['tomorrow or the day after', '2026-11-05 to 2026-11-06', 'counted from the first'],
    ['hoy o mañana', '2026-11-04 to 2026-11-05', 'the same without counting'],
    ['cant do monday or tuesday', 'none', 'both are ruled out'],
    ['ni lunes ni martes', 'none', 'the same'],
    ['not this friday but the next', '2026-11-13', 'the one after it'],
    ['no este viernes, el otro', '2026-11-13', 'the same'],
    ['esta semana no, la que viene', '2026-11-09 to 2026-11-15', 'the week after it'],
    ['friday, thursdays are no good', '2026-11-06', 'ruled out behind its name'],
    ['del 10 en adelante', '2026-11-10 to 2026-11-30?', 'from that day on'],
    ['no antes del 10', '2026-11-10 to 2026-11-30?', 'the day itself counts'],
    ['not until the 10th', '2026-11-10 to 2026-11-30?', 'the same'],
    ['im off friday', '2026-11-06?', 'free to come, or away'],
    ['no trabajo el lunes', '2026-11-09?', 'the same'],
    ['cant friday, working', 'none', 'away'],
  ])('%s: %s, %s', (text, wanted) => {
    expect(when(text)).toBe(wanted);
  });
});

describe('a day that is taken back', () => {
  it.each<Row>([
    ['friday. actually make it monday, i forgot friday is the recital', '2026-11-09', 'named again as the reason'],
    ['el jueves, no perdón, el viernes, el jueves trabajo', '2026-11-06', 'the same'],
    ['monday works. no actually monday is the dentist, tuesday', '2026-11-10', 'the reason before the new day'],
    ['friday. no, thursday. sorry thursday', '2026-11-05', 'said again to be sure'],
    ['not this friday, next friday', '2026-11-13?', 'the same weekday of two weeks'],
    ['thursday and the kids have school thursday', '2026-11-05', 'nothing is taken back'],
  ])('%s: %s, %s', (text, wanted) => {
    expect(when(text)).toBe(wanted);
  });
});

describe('hours and what is before or after work', () => {
  it.each<Row>([
    ['friday 10', '2026-11-06 morning', 'an hour behind a weekday'],
    ['friday 9-11', '2026-11-06 morning', 'two hours, and no date'],
    ['el viernes de 9 a 11', '2026-11-06 morning', 'the same'],
    ['viernes entre 2 y 4', '2026-11-06 afternoon', 'the same'],
    ['friday 13', '2026-11-13', 'a day of the month'],
    ['friday 2 trucks', '2026-11-06', 'a number that counts something else'],
    ['jueves o viernes saliendo del jale', '2026-11-05 to 2026-11-06 afternoon', 'after work'],
    ['friday when i get off work', '2026-11-06 afternoon', 'the same'],
    ['el viernes antes de entrar a trabajar', '2026-11-06 morning', 'before work'],
    ['thursday after i drop the kids', '2026-11-05 morning', 'school begins early'],
  ])('%s: %s, %s', (text, wanted) => {
    expect(when(text)).toBe(wanted);
  });
});

describe('wishes in an answer', () => {
  const wish = (text: string, asked: Askable): string | undefined =>
    read({ text, asked, today: TODAY }, lexicon).facts.intent;

  it.each<[text: string, asked: Askable, intent: string | undefined, why: string]>([
    ['can we do thursday', 'wantedTime', undefined, 'the day that was asked for'],
    ['any chance of friday', 'wantedTime', undefined, 'the same'],
    ['friday, thursdays no good', 'wantedTime', undefined, 'a day that does not suit moves nothing'],
    ['need to move my appointment to friday', 'wantedTime', 'reschedule', 'an appointment is named'],
    ['go ahead and book me', 'wantedTime', 'book', 'no day answers the question'],
    ['can you book me in for friday', 'odometerMiles', 'book', 'another question was asked'],
    ['en cuanto puedan', 'wantedTime', undefined, 'as soon as, and not how much'],
    ['en cuánto sale', 'wantedTime', 'price', 'how much'],
    ['im gonna cancel, my brother will do it', 'wantedTime', 'cancel', 'told with what is to happen instead'],
    ['lets just cancel', 'wantedTime', 'cancel', 'nothing else is named'],
    ['mejor cancele, ya lo llevo con otro', 'wantedTime', 'cancel', 'the same'],
    ['dont cancel, friday works', 'wantedTime', undefined, 'not to be given up'],
  ])('%s, asked for %s: %s, %s', (text, asked, intent) => {
    expect(wish(text, asked)).toBe(intent);
  });
});

describe('what is only known from others, and what is left open', () => {
  const sure = (text: string, asked: 'breatherOriginal' | 'odometerMiles'): string => {
    const { facts } = read({ text, asked, today: TODAY }, lexicon);
    return `${String(facts[asked])}${facts.unsure?.includes(asked) ? '?' : ''}`;
  };

  it.each<[text: string, asked: 'breatherOriginal' | 'odometerMiles', value: string, why: string]>([
    ['last owner claimed he replaced it', 'breatherOriginal', 'false?', 'an earlier owner says so'],
    ['el dueño de antes dijo que lo cambiaron', 'breatherOriginal', 'false?', 'the same'],
    ['it was replaced, so he says', 'breatherOriginal', 'false?', 'said behind it'],
    ['i replaced it last year', 'breatherOriginal', 'false', 'done by the owner'],
    ['one thirty two and some', 'odometerMiles', '132000?', 'spoken, without its thousands'],
    ['132 and some', 'odometerMiles', '132000', 'written: thousands are left out'],
    ['one hundred thirty two thousand and change', 'odometerMiles', '132000', 'with its thousands'],
  ])('%s, asked for %s: %s, %s', (text, asked, value) => {
    expect(sure(text, asked)).toBe(value);
  });
});
