import { describe, expect, it } from 'vitest';
import type { Intent } from '../../../src/core/model/ids.ts';
import { readComplaints } from '../../../src/core/understand/complaints/mod.ts';
import { read } from '../../../src/core/understand/mod.ts';
import { readMessage } from '../../../src/core/understand/text.ts';
import { lexicon } from './reading.ts';

const today = '2026-01-12';
const complaints = (text: string) => readComplaints(readMessage(text), { today }, lexicon.complaints);
const facts = (text: string) => read({ text, today }, lexicon).facts;

/*
 * What patterns find, whatever the weighing makes of it: the words are fitted anew now and then, and a wish that no
 * pattern found is left to them.
 */
describe('the wish that patterns find beside a complaint', () => {
  it.each<[text: string, intent: Intent, why: string]>([
    ['I am free on Friday after 14:00, is possible to come? Brake pedal is soft', 'book', 'free, and may come'],
    ['You have free time next Tuesday after 15:00? In cabin is smelling of fuel', 'book', 'whether the shop is free'],
    ['Can I come on 14 after work? Brakes is making metal sound', 'book', 'a date without its ending'],
    ['Is possible to come tomorrow in early morning? Gearbox is slipping.', 'book', 'whether it is possible'],
    ['It is possible to make a time for the 18th? Heater not blows warm.', 'book', 'a time is to be made'],
    ['Please, when you have free term? Truck starts bad in the cold.', 'book', 'without any day'],
    ['Maybe I can bring the van on Saturday before noon? There is knocking from front wheel.', 'book', 'offered'],
    ['I come tomorrow 8 am ok? The oil lamp is red.', 'book', 'the present for what is to come'],
    ['got a spot wed? alt light on', 'book', 'a place on a day'],
    ['tues at 10 ok? trans slips', 'book', 'a day and an hour that may suit'],
    ['off work thursday, that work for you? truck shakes at 60', 'book', 'free from work'],
    ['u open sat? i can drop it at 8. brakes grinding', 'book', 'an hour beside a word of coming'],
    ['Would Thursday morning suit? My engine light is on and it idles rough.', 'book', 'whether a day suits'],
    ['What day next week works for you guys to look at my injector knock', 'book', 'which day'],
    ['i got friday off can i drop her w yall? squeals when i brake', 'book', 'a day off'],
    ["I'd be able to have it there by 8 Monday if that suits you. The needle climbs on grades.", 'book', 'polite'],
    ['estoy libre el jueves despues de las 3, se puede llevar? el freno esta blando', 'book', 'in Spanish'],
    ['Tienen espacio mañana? Pierde aceite por abajo.', 'book', 'a place, in Spanish'],
    ['thurs arvo any good? she is running hot', 'book', 'whether a part of a day is any good'],
    ['is it ok if my wife drops it Tuesday? The belt squeals.', 'book', 'somebody else brings it'],
    ['wed or thurs good to swing in? exhaust leak on the driver side', 'book', 'who swings in moves nothing'],
    ['Could your mechanic see my van Friday? In the corner the wheel is knocking.', 'book', 'somebody of the shop'],
    ['It would be nice to come on 16th. White smoke comes each morning.', 'book', 'it would be nice'],
    ['se la puedo dejar el lunes temprano? trae fuga de aceite', 'book', 'left there, in Spanish'],
    ['The turbo howls. I would like an appointment, the sooner the better.', 'book', 'without any day'],
    ['Please look my van on Wednesday if possible, it has no force on hill.', 'book', 'please, on a day'],
    ['need it in the shop next week some time, brakes pull left', 'book', 'in the shop by a day'],
    ['I have time on Friday after 14:00, is possible to come? Pedal is soft', 'book', 'has time, and no appointment'],
    ['hm to get the lil orange engine light read??', 'price', 'how much, in two letters'],
    ['what u get to clean a plugged dpf', 'price', 'what the shop gets'],
    ['Tell me please what the rear brakes come to? They grind.', 'price', 'what it comes to'],
    ['would you know what a clutch usually runs, it would cost what?', 'price', 'wants to know'],
    ['What sum should I prepare for the clutch? It is slipping.', 'price', 'a sum'],
    ['what would you guys want for a water pump', 'price', 'what the shop wants for it'],
    ['what will yall hit me for on a rear main', 'price', 'what it takes'],
    ['can I come on Wednesday and not on Tuesday? I am still on the road', 'reschedule', 'one day and not another'],
    ['Is possible to come on Friday and not on Thursday? I am with load far away.', 'reschedule', 'the same, foreign'],
    ['I can not on Monday, can I come on Tuesday?', 'reschedule', 'a day that is ruled out'],
    ['I have term on Monday 8:00, but better for me is Tuesday.', 'reschedule', 'what stands, and what is better'],
    ['supposed to be there tmrw at 8 but can it be 10', 'reschedule', 'an hour for an hour'],
    ['Please one day later, I must work on the 12th.', 'reschedule', 'by how much'],
    ['no puedo el jueves, se puede el viernes?', 'reschedule', 'in Spanish'],
    ['My time is Friday 9:00. Can I come at 11:00?', 'reschedule', 'what stands, in the sentence before'],
    ["I can't this week. Is next week possible for my appointment?", 'reschedule', 'a week that is ruled out'],
    ['Not Monday please, better Tuesday. My boy has school.', 'reschedule', 'a better day'],
    ['Is Friday possible in place of Thursday? My driver is sick.', 'reschedule', 'in the place of a day'],
    ["we had 8 o'clock, I come at 10, ok?", 'reschedule', 'an hour that stood'],
    ["Tuesday's no good anymore, could I do Thursday?", 'reschedule', 'a day with an s'],
    ['can i come like 45 min earlier than what we set', 'reschedule', 'than what was set'],
    ['push me back a day', 'reschedule', 'who is pushed'],
    ['make me 10 instead of 7', 'reschedule', 'one hour instead of another'],
    ["Don't hold the bay for me, it was only a wire", 'cancel', 'what is not to be held'],
    ["We put it on in the barn. Don't look for us Tuesday.", 'cancel', 'nobody is to be awaited'],
    ['the truck is sold so Monday is not needed', 'cancel', 'a day that is not needed'],
    ['I do not need the place on Monday any more', 'cancel', 'a place that is not needed'],
    ["I don't come on Thursday, I sold the truck.", 'cancel', 'the present for what is to come'],
    ['never mind about wednesday, it fixed itself', 'cancel', 'never mind the day'],
    ["Could I have a call from the mechanic? It's hard to describe the noise", 'person', 'a call from somebody'],
    ['How does this service work, please? Do I type my questions here?', 'help', 'a service to write to'],
    ['Who am I writing to, and what can I ask here?', 'help', 'who reads'],
  ])('%s: %s (%s)', (text, intent) => {
    const { wishes, intent: told } = complaints(text);
    expect([...(wishes?.found.keys() ?? [])]).toContain(intent);
    expect(told).toBe(intent);
  });

  it.each<[text: string, why: string]>([
    ['the oil light come on Monday and again on Wednesday', 'a light that comes on'],
    ['got a spot of oil under it every morning since tuesday', 'a spot of oil'],
    ['It ran ok monday then died at 10 on tuesday', 'days of a trouble'],
    ['I was off work thursday and it sat, now it wont start', 'was free'],
    ['I come home Tuesday and it was smoking like a chimney', 'came home'],
    ['I can hear it knock when I come to a stop, started on the 14th', 'comes to a stop'],
    ['when I am free wheeling down the hill on Friday it stalled', 'free wheeling'],
    ['there is a puddle in my parking spot since Friday, looks like coolant', 'a spot to park'],
    ['The little amber engine light came on yesterday. Should I bring it in?', 'asks for advice, not for a day'],
    ["hm it's making a knocking sound at idle", 'a thinking sound'],
    ['An hour later it quit again, please help', 'by how much later it failed'],
    ['I can not start it on Monday mornings, cranks forever', 'what cannot be started'],
    ['forget it, friday it overheated again', 'nothing is given up'],
    ['How does the exhaust system get so hot, it glows red', 'a system of the truck'],
    ['The motor goes not up in turns. What is this?', 'asks about the truck, not about the shop'],
    ['Urea quality is bad it says. I bought it in normal station, full price.', 'a price that was paid'],
    ['do I need to come in for this, it drips oil when parked', 'advice again'],
    ['it was ok till Tuesday when it lost all power at 10 in the morning', 'when it came'],
    ['la direccion esta bien dura y chilla cuando doy vuelta', 'well, as very'],
    ["can you look at my truck? it's overheating. 6.7 with 92 thousand miles", 'no day'],
  ])('finds none in %s (%s)', (text) => {
    expect([...(complaints(text).wishes?.found.keys() ?? [])]).toEqual([]);
  });
});

describe('what is asked of trucks in general', () => {
  it.each<[text: string, why: string]>([
    ['is that exhaust cleaning thing supposed to happen every week on these', 'without a mark'],
    ['is it all right to leave exhaust fluid sitting in the tank over winter', 'what a fluid bears'],
    ['out of curiosity, do diesels smoke a little when its cold?', 'curious'],
    ['Just curious, how often should the truck clean its soot filter?', 'curious, of a truck'],
    ['can you mix the orange coolant with the green in these', 'whether two go together'],
    ['is a little water in the separator normal on these', 'whether it is normal'],
  ])('%s: no symptom (%s)', (text) => {
    const { symptoms, intent } = facts(text);
    expect(symptoms).toBeUndefined();
    expect(['help', 'service']).toContain(intent);
  });

  it.each<[text: string, symptom: string, why: string]>([
    ['is it supposed to regen every 50 miles on these roads? it just keeps doing it', 'frequent-regeneration', 'roads'],
    ['Just curious if you can fix it, it keeps overheating', 'overheating', 'no question, and the own truck'],
    ['what do people do about head gaskets on these, mine overheats', 'overheating', 'the own truck beside it'],
    ["can you look at my truck? it's overheating. 6.7 with 92 thousand miles", 'overheating', 'the own truck'],
  ])('%s: %s (%s)', (text, symptom) => {
    expect(facts(text).symptoms).toContain(symptom);
    expect(facts(text).intent).toBe('service');
  });

  it('keeps what is told of the own truck behind such a question', () => {
    expect(facts('Does the breather get changed on these? Mine is still the factory one.').breatherOriginal).toBe(true);
  });
});

describe('a complaint whose wish is doubted', () => {
  it.each<[text: string, why: string]>([
    ['Amber engine light came on coming back from church. No smoke of any kind. Should I bring it in?', 'advice'],
    ['Truck writes that it will go maximum 50 mph because quality of urea is bad. On the clock is 298 500 km.', 'told'],
  ])('%s is service (%s)', (text) => {
    expect(facts(text).intent).toBe('service');
  });
});
