import { record, recordsFrom } from '../record.ts';
import { ask, closeQuestion, language, options, reply, text, vehicleOf, withTalk, type Action } from '../scene.ts';
import { doneMilesQuestion } from '../situation.ts';
import { dateRange, numberWords, truckName } from '../words.ts';
import { closeFollowUp, names, withForecast } from './follow-up.ts';

/** What an owner does who had done elsewhere what the shop wrote about. */
export const doneElsewhere: Record<string, Action> = {
  /** What is due was done elsewhere: its mileage is asked for, since the next time counts from there. */
  askDoneMiles(scene) {
    const name = doneMilesQuestion(scene);
    const question = name === undefined ? undefined : scene.tools.questions.byName.get(name);
    if (name === undefined || !question) return scene;
    const answered = closeFollowUp(closeQuestion(scene, scene.heard.text ?? ''), { what: 'answered' });
    const inHand = withTalk(answered, { services: [], wantedTime: undefined });
    const asked = text(scene, question.text, { truck: truckName(scene, vehicleOf(scene)) });
    return ask(inHand, name, asked, options(scene, ['dont-know', 'option-dont-know']));
  },

  /** Done elsewhere, and done once in a truck's life: the kit, or the first breather filter. */
  keepDone(scene) {
    const vehicle = vehicleOf(scene);
    const services = (vehicle && scene.tools.outlook(vehicle, scene.today)?.services) ?? [];
    const words = scene.heard.text ?? '';
    const facts = {
      ...(services.includes('pump-protection-kit') && { pumpProtected: true }),
      ...(services.includes('crankcase-breather-filter') && { breatherOriginal: false }),
    };
    return withTalk(record(scene, recordsFrom(scene, facts, words)), { services: [], wantedTime: undefined });
  },

  /** The mileage of work that was done elsewhere is kept: when it comes again. */
  sayDoneKept(scene) {
    const answered = closeFollowUp(closeQuestion(scene, scene.heard.text ?? ''), { what: 'answered' });
    const inHand = withTalk(answered, { services: [], wantedTime: undefined, matter: null });
    const vehicle = vehicleOf(scene);
    const outlook = vehicle && scene.tools.outlook(vehicle, scene.today);
    if (!outlook) return reply(inHand, text(scene, 'noted'));
    const values = {
      services: names(scene, outlook.services),
      dueMiles: numberWords(outlook.dueMiles, language(scene)),
      when: dateRange(scene, outlook.dueDate),
    };
    return withForecast(reply(inHand, text(scene, 'done-elsewhere', values)), vehicle);
  },
};
