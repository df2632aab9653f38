import { describe, expect, it } from 'vitest';
import type { ReadRequest } from '../../../src/core/model/reading.ts';
import { read } from '../../../src/core/understand/mod.ts';
import { lexicon } from './reading.ts';

const facts = (text: string, asked?: ReadRequest['asked']) =>
  read({ text, today: '2026-01-12', ...(asked ? { asked } : {}) }, lexicon).facts;

describe('what an owner wants', () => {
  it.each<[text: string, intent: string, why: string]>([
    ['you can void the 3 oclock, the truck sold over the weekend', 'cancel', 'an hour stands for the appointment'],
    ['got called in for a double so i have to bail on wednesday, sorry', 'cancel', 'a day stands for it'],
    ['cross unit 12 off for tuesday', 'cancel', 'a unit stands for it'],
    ['take the bus off your calendar for the 14th', 'cancel', 'off the book, not off the list'],
    ['give my place to whoever is next, i sold her', 'cancel', 'given away'],
    ['wont make it at 9. dont book me another time, ill call', 'cancel', 'no other time is wanted'],
    ['no puedo ir mañana, cancélenmela por favor', 'cancel', 'who only cannot come says less than who cancels'],
    ['we have to pull out of our Friday slot, cattle are out', 'cancel', 'backs out of a slot'],
    ["won't make my 8am, road is washed out", 'reschedule', 'who only cannot come may want another time'],
    ['thursday is no good for me now, what else have you got', 'reschedule', 'a day that no longer serves'],
    ['we need to skip friday, any day after that is fine', 'reschedule', 'given up for another day'],
    ["I've got jury duty the 12th. Could we do the 19th instead?", 'reschedule', 'a day instead'],
    ['put me down for monday instead of friday would you', 'reschedule', 'one day instead of another'],
    ['Please shift unit 9 from Monday to later in the week', 'reschedule', 'from one day to another'],
    ['oiga, córrame la cita para el viernes que entra', 'reschedule', 'as it is said in Mexico'],
    ['Can I drop the truck friday', 'book', 'the truck is dropped, not the day'],
    ['143,010, as promised', 'odometer', 'a number that was promised'],
    ['You wanted the miles. 88 thousand 300 as of lunch', 'odometer', 'a number that was asked for'],
    ['aquí va lo que me pidieron: 154,320', 'odometer', 'in Spanish'],
    ['just clicked over 200,000 on the white one', 'odometer', 'the odometer clicks, no starter'],
    ['190,000 clicks on it', 'odometer', 'kilometres, no starter'],
    ['just rolled over 60,000, whats due at 60', 'service', 'a question about work beside the reading'],
    ["what's an injector set back a fella these days", 'price', 'what it sets a person back'],
    ['our board wants a written number on both turbos', 'price', 'a figure that is asked for'],
    ['what would new glow plugs run me on a 6.0', 'price', 'what it would run'],
    ["it reads 'reduced power', and I quote", 'service', 'to quote words asks for no price'],
    ['it knocks at 2000 rpm, before it gets expensive please look', 'service', 'a fear of cost is no question'],
    ['injector three at 5,100 hours knocks', 'service', 'hours of the engine, not of the shop'],
    ['send me a copy of the invoice', 'help', 'paper of the shop'],
    ['can I talk to the fella that did my brakes', 'person', 'whoever did the work'],
    ['put the boss on please', 'person', 'put on the line'],
    ['mi mamá quiere hablar con alguien, no entiende los mensajes', 'person', 'not to understand is not to refuse'],
    ['could you start sending the reminders again', 'opt-in', 'starts again'],
    ['no more messages, un subscribe me', 'opt-out', 'a word cut in two'],
    ['can you make the computer ignore the egr', 'tamper', 'the computer is made blind'],
    ['my cousin had his dpf cut out, do yall do those', 'tamper', "the same as on somebody else's truck"],
    ['looking to get my def system disabled permanently', 'tamper', 'switched off for good'],
    ['quiero que le saquen el catalizador y la reprogramen', 'tamper', 'in Spanish'],
    ['previous owner took out the dpf, I want it back to legal', 'service', 'brought back'],
    ["truck doesn't see the def level, dash says empty", 'service', 'a fault, not a wish'],
    ["she won't make it up the grade, no power", 'service', 'the truck does not make it'],
    ["can't make it start, just cranks", 'service', 'nobody is coming or not coming'],
    ["wednesday the brakes won't work right, pedal on the floor", 'service', 'a day with trouble is no appointment'],
    ['el lunes ya no puedo prenderla, no da marcha', 'service', 'in Spanish'],
    [
      'wont make the 8am and now the turbo whistles too',
      'reschedule',
      'an hour that cannot be kept beside a complaint',
    ],
    ['the def light is on and it wont go over 5 mph, program says ignore', 'service', 'nobody asks to blind it'],
  ])('%s: %s (%s)', (text, intent) => {
    expect(facts(text).intent).toBe(intent);
  });

  it.each<[asked: ReadRequest['asked'], text: string, intent: string | undefined, why: string]>([
    ['wantedTime', 'wednesday is out for me, thursday after lunch', undefined, 'an answer that rules a day out'],
    ['odometerMiles', 'you asked yesterday, 102,340', undefined, 'the answer to the question'],
    ['odometerMiles', '88 120 end message', undefined, 'dictated as on the radio'],
    ['confirm', 'good copy', undefined, 'no paper is wanted'],
    ['confirm', "can't make it that day after all, can we move it", 'reschedule', 'more than an answer'],
  ])('asked %s: %s', (asked, text, intent) => {
    expect(facts(text, asked).intent).toBe(intent);
  });
});

describe('what hangs on behind', () => {
  it.each<[text: string, tows: boolean | undefined, why: string]>([
    ['it overheats with the stock trailer behind us', true, 'behind us'],
    ['shudders at 50, three horses hooked up in back of me', true, 'hooked up'],
    ['brakes fade with a skid steer in tow', true, 'in tow'],
    ['se calienta con el remolque enganchado', true, 'in Spanish'],
    ['8 ton on the gooseneck and it wont hold 40 on the hill', true, 'a load on a trailer'],
    ['we had a single wide hooked behind it when the light came on', true, 'a house'],
    ["boat's still hooked on and it wont start", true, 'what is towed is no other machine'],
    ['the truck itself is in tow right now, wont start', undefined, 'it is towed'],
    ['stalled with the kids in tow', undefined, 'company'],
    ['camper on the back of it, a slide in, and it overheats', undefined, 'carried'],
    ['I haul my family around in it, oil leak at the front', undefined, 'passengers'],
    ['the load of hay in the bed shifted and now the steering is stiff', undefined, 'in the bed'],
    ['a car behind me honked because it smoked so bad', undefined, 'traffic'],
  ])('%s: %s (%s)', (text, tows) => {
    expect(facts(text).tows).toBe(tows);
  });

  it.each<[text: string, tows: boolean | undefined, why: string]>([
    ["no ma'am, just groceries", false, 'politely'],
    ['nah, other truck does the camper', false, 'another truck tows'],
    ['sí señora, un remolque de caballos', true, 'politely in Spanish'],
  ])('asked: %s: %s (%s)', (text, tows) => {
    expect(facts(text, 'tows').tows).toBe(tows);
  });
});

describe('the breather and the filter', () => {
  it.each<[text: string, expected: object, why: string]>([
    [
      'crankcase breather? ours has never been touched. oil leak at the front',
      { breatherOriginal: true },
      'taken up in the next sentence',
    ],
    ['how much to change the breather. mine is the factory one', { breatherOriginal: true }, 'work that is to come'],
    ['breather was swapped at 60k by the last shop', { breatherOriginal: false }, 'work that was done'],
    ['cut the fuel filter open. bright flecks all in the pleats', { metalFound: true }, 'metal by its shine'],
  ])('%s: %j (%s)', (text, expected) => {
    expect(facts(text)).toMatchObject(expected);
  });

  it.each<[text: string, key: 'breatherOriginal' | 'metalFound', why: string]>([
    ['how much for a crankcase breather, injectors are original', 'breatherOriginal', 'something else is original'],
    ['the breather is to be replaced at 67,500 on these', 'breatherOriginal', 'nothing was done yet'],
    ['cut the oil filter open. bright specks in there', 'metalFound', 'metal of the engine'],
  ])('%s: no %s (%s)', (text, key) => {
    expect(facts(text)).not.toHaveProperty(key);
  });

  it.each<[text: string, original: boolean, why: string]>([
    ['no ones touched it since i bought it new', true, 'the truck was bought new'],
    ["it's the one it left the plant with", true, 'where it came from'],
    ['no, put a new one in last spring', false, 'a new one'],
    ['nuevo', false, 'one word'],
    ['I swapped it in March, so it is not the original', false, 'said twice'],
  ])('asked: %s: %s (%s)', (text, original) => {
    expect(facts(text, 'breatherOriginal').breatherOriginal).toBe(original);
  });
});
