import { describe, expect, it } from 'vitest';
import { read } from '../../../src/core/understand/mod.ts';
import { lexicon } from './reading.ts';

type Fact = 'tows' | 'breatherOriginal' | 'pumpProtected' | 'pumpReplaced' | 'metalFound';
/** What an opening tells of a fact: true, false, null where nothing, and "unsure" where it is to be confirmed. */
const told = (fact: Fact, text: string): boolean | 'unsure' | null => {
  const { facts } = read({ text, today: '2026-11-02' }, lexicon);
  if (facts.unsure?.includes(fact)) return 'unsure';
  return facts[fact] ?? null;
};
type Row = [text: string, wanted: boolean | 'unsure' | null, why: string];

describe('that a truck tows', () => {
  it.each<Row>([
    ['it tows nothing but a camper', true, 'a no that leaves one thing'],
    ["doesn't tow anything except a small utility trailer", true, 'by "except"'],
    ['never pulled anything bigger than a jon boat', true, 'by a size'],
    ['never tows more than 5000 lbs', true, 'by a weight'],
    ['not much towing, just a camper in july', true, 'seldom is not never'],
    ['hardly ever without the trailer on', true, 'two that affirm'],
    ['the hitch is never empty', true, 'by its hitch'],
    ["it doesn't pull the trailer like it did", true, 'weaker with what it still pulls'],
    ['can barely pull my camper up a hill anymore', true, 'what it hardly manages'],
    ['no jala con el remolque', true, 'weak with what is on it'],
    ['ya no jala la traila como antes', true, 'weaker than before, in Spanish'],
    ['cant get out of its own way with a trailer on', true, 'the "own" owns no trailer'],
    ['lives in front of a horse trailer', true, 'by where it stands'],
    ['The concession trailer goes everywhere with us', true, 'by where the trailer goes'],
    ["It's my tow vehicle for the race car", true, 'by what it is'],
    ['Mainly used for towing.', true, 'by its use'],
    ['pulls 20,000 lbs most of the time', true, 'by what it weighs'],
    ['takes our bass boat to the lake', true, 'a boat is taken on a trailer'],
    ['we take the horses to shows every weekend with it', true, 'animals that are taken somewhere'],
    ['we live in a fifth wheel and this truck moves us', true, 'a home on wheels'],
    ['hauls hay, needs oil change', true, 'a job'],
    ['grinder hitched on behind every day', true, 'a machine on behind'],
    ['most days its behind me', true, 'how often'],
    ['my brother tows his camper with it', true, 'somebody else with this truck'],
    ['no problems towing our camper, just an oil leak', true, 'the no is of the problems'],
    ['ok empty, no power pulling the trailer', true, 'the no is of the power'],
    ['lots of towing with this one', true, 'how much of it'],
    ['gets hot towing uphill', true, 'what it suffers then'],
    ['once in a while it tows a boat', true, 'seldom'],
    ['Towed a rental trailer once in 8 years', 'unsure', 'once is no habit'],
    ['siempre trae la traila', true, 'in Spanish'],
    ['no puede con la traila en la subida', true, 'what it cannot manage, in Spanish'],
  ])('%s: %s, %s', (text, wanted) => {
    expect(told('tows', text)).toBe(wanted);
  });
});

describe('that a truck never tows', () => {
  it.each<Row>([
    ['no horses no trailer ever', false, 'each says its own no'],
    ['never had anything behind it', false, 'by what is behind'],
    ['nothing ever on the hitch', false, 'by what is on the hitch'],
    ['hitch has never seen a ball', false, 'a hitch that is not used'],
    ["I don't own a trailer", false, 'nothing to pull'],
    ['never used it to tow', false, 'by its use'],
    ['nothing gets towed with this truck', false, 'turned round'],
    ['it does not toe anything', false, 'as a telephone writes it'],
    ['A trailer pull we not', false, 'in the order of another language'],
    ['I do not tow with this truck', false, 'no tow truck'],
    ['never a trailer behind it', false, 'without a verb'],
    ["This one isn't a tow vehicle, it commutes", false, 'by what it is not'],
    ['ni enganche tiene', false, 'no hitch, in Spanish'],
    ['nunca he jalado nada con ella', false, 'never, in Spanish'],
    ['Never had a trailer on her, the boat stays on the mooring', false, 'a boat that is elsewhere'],
  ])('%s: %s, %s', (text, wanted) => {
    expect(told('tows', text)).toBe(wanted);
  });
});

describe('what says nothing of towing', () => {
  it.each<Row>([
    ['my neighbor tows a boat, mine smokes', null, "somebody else's truck"],
    ['the guy ahead of me was pulling a trailer', null, 'somebody on the road'],
    ['bringing it in on a trailer', null, 'the truck is carried'],
    ['backed into a boat trailer, tailgate is dented', null, 'a trailer that was hit'],
    ['the 2014 with the utility body', null, 'a body and no trailer'],
    ['smoke began at the boat ramp', null, 'a place'],
    ['we run three wreckers, number 2 stalls', null, 'tow trucks'],
    ['I might tow with it next year', null, 'a plan'],
    ['slide in camper in the bed', null, 'what rides in the bed'],
    ['would like to tow a camper someday', null, 'a wish'],
    ['no trailer on, flat road, and it still lost power', null, 'how it was just then'],
    ['no power, had it towed', null, 'towed, with a no before it'],
    ['Our towing insurance covers the first 50 miles', null, 'an insurance'],
    ['a truck towing a boat hit my bumper', null, 'another truck on the road'],
  ])('%s: %s, %s', (text, wanted) => {
    expect(told('tows', text)).toBe(wanted);
  });
});

describe('facts on a list', () => {
  it.each<[Fact, ...Row]>([
    ['tows', 'towing: no', false, 'a heading and its answer'],
    ['tows', 'Tow: y', true, 'a letter'],
    ['tows', 'Tows: n', false, 'a letter'],
    ['tows', 'tows - never', false, 'behind a dash'],
    ['tows', 'do we tow? no', false, 'a question that is answered at once'],
    ['tows', 'Tows: yes, 9,000 lb', true, 'with more behind it'],
    ['tows', 'remolque: no', false, 'in Spanish'],
    ['pumpProtected', 'Protection kit on the pump: yes', true, 'where it sits'],
    ['pumpProtected', 'Protection kit? no', false, 'a question that is answered at once'],
    ['pumpProtected', 'Protection kit? No idea', null, 'no answer'],
    ['pumpReplaced', 'pump replaced: no', false, 'what was done'],
    ['breatherOriginal', 'Breather original: no', false, 'what it is'],
    ['metalFound', 'metal in the filter? none', false, 'what was found'],
  ])('%s: %s: %s, %s', (fact, text, wanted) => {
    expect(told(fact, text)).toBe(wanted);
  });
});

describe("one's own truck against another", () => {
  it.each<[Fact, ...Row]>([
    ['tows', "My girl's truck don't tow, mine does", true, 'mine does'],
    ['tows', 'the old dump truck pulls the grinder, not this one', false, 'not this one'],
    ['tows', 'the boss tows a skid steer with the red one, mine never has', false, 'never has'],
    ['pumpProtected', "my other truck has the protection kit, this one doesn't", false, 'this one does not'],
    ['pumpProtected', "My other truck doesn't have the protection kit, this one does", true, 'this one does'],
    ['pumpProtected', 'Price on the protection kit for six trucks? None of them has it on.', false, 'none of several'],
    ['pumpProtected', 'want the protection kit, neither truck has it', false, 'neither of two'],
    ['metalFound', "Buddy had glitter in his fuel filter. Mine didn't.", false, 'in a sentence of its own'],
    ['pumpProtected', 'my neighbor has the protection kit, how much', null, 'nothing of this one'],
  ])('%s: %s: %s, %s', (fact, text, wanted) => {
    expect(told(fact, text)).toBe(wanted);
  });
});

describe('what nobody knows, and what is asked', () => {
  it.each<[Fact, ...Row]>([
    ['breatherOriginal', 'breather filter no clue if its original', null, 'no clue'],
    ['breatherOriginal', "don't know if the crankcase filter was ever changed", null, 'not known'],
    ['breatherOriginal', 'was the breather ever changed?', null, 'asked'],
    ['breatherOriginal', 'I think the breather is original', 'unsure', 'believed is to be confirmed'],
    [
      'breatherOriginal',
      'Does the breather get changed on these? Mine is still the factory one',
      true,
      'told after a question',
    ],
    ['pumpProtected', 'does it have the protection kit?', null, 'asked'],
    ['pumpProtected', 'no idea if the kit is on it', null, 'not known'],
    ['pumpProtected', 'What is in your pump protection kit?', null, 'a kit in general'],
    ['pumpReplaced', 'was the recall done on mine?', null, 'asked'],
    ['pumpReplaced', "don't know if the recall was done", null, 'not known'],
    ['metalFound', 'can you check the filter for metal', null, 'a wish'],
  ])('%s: %s: %s, %s', (fact, text, wanted) => {
    expect(told(fact, text)).toBe(wanted);
  });
});

describe('the breather', () => {
  it.each<Row>([
    ['breather filter is whatever the factory put in, never touched it', true, 'put in by the factory'],
    ["the breather hasn't been changed since new", true, 'not since new'],
    ["the breather hasn't been changed in years", null, 'not for some time is not never'],
    ['no one ever swapped the crankcase breather', true, 'by nobody'],
    ['crankcase breather same age as the truck', true, 'by its age'],
    ["breather isn't original", false, 'not the original'],
    ["The one in there isn't the factory one. I want a crankcase breather", false, 'named in the next sentence'],
    ["breather's on its second", false, 'counted'],
    ['crankcase filter is fairly new', false, 'by its age'],
    ['breather filter, changed it myself at 55k', false, 'named before'],
    ['original breather was replaced at 70k', false, 'the original is gone'],
    ['need the breather changed', null, 'wanted'],
    ['el respiradero no es original', false, 'in Spanish'],
  ])('%s: %s, %s', (text, wanted) => {
    expect(told('breatherOriginal', text)).toBe(wanted);
  });
});

describe('the protection kit, the pump and metal', () => {
  it.each<[Fact, ...Row]>([
    ['pumpProtected', "Pump protection kit's already in", true, 'in'],
    ['pumpProtected', 'running a pump protection kit since 2020', true, 'by the truck'],
    ['pumpProtected', "what's the price of a protection kit? It's not on there yet", false, 'not yet'],
    ['pumpProtected', 'Still without the pump kit', false, 'without'],
    ['pumpProtected', 'Pump kit is built in. The lamp is not on.', true, 'a no of something else'],
    ['pumpProtected', 'how much is a pump protection kit installed', null, 'a price'],
    ['pumpReplaced', 'swapped the high pressure pump for the other style', true, 'another style'],
    ['pumpReplaced', 'the recall pump is in', true, 'by its name'],
    ['pumpReplaced', 'still has the old style high pressure pump', false, 'still the old one'],
    ['pumpReplaced', 'still on the factory high pressure pump', false, 'still the first one'],
    ['pumpReplaced', "nobody's ever touched the high pressure pump", false, 'by nobody'],
    ['pumpReplaced', 'pump recall open, never went', false, 'not done'],
    ['pumpReplaced', 'got a recall letter for the pump', null, 'only announced'],
    ['pumpReplaced', 'la bomba de alta es la original', false, 'in Spanish'],
    ['metalFound', "there's metal in the filter", true, 'no metal filter'],
    ['metalFound', 'checked the filter for metal and there was none', false, 'looked for and not found'],
    ['metalFound', 'nothing shiny in the filter', false, 'by its shine'],
    ['metalFound', 'found metal in the fuel filter, no metal in the oil', true, 'another place'],
  ])('%s: %s: %s, %s', (fact, text, wanted) => {
    expect(told(fact, text)).toBe(wanted);
  });
});
