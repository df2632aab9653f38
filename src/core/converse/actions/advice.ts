import type { AdviceInFull } from '../../model/advice.ts';
import type { ServiceId } from '../../model/ids.ts';
import { dangersToWarn, factsForAdvice, remindersWanted } from '../situation.ts';
import { ask, language, options, reply, text, vehicleOf, withTalk, type Action, type Scene } from '../scene.ts';
import { hoursWords, moneyWords, numberWords, truckName } from '../words.ts';
import { introduce } from './write-up.ts';

const AT_FIRST = 3;

/** What is said of danger, and what is advised. */
export const advice: Record<string, Action> = {
  /** Danger comes before the greeting: what to do now, then the cautions, then the shop's number. */
  sayDanger(scene) {
    const found = adviceFor(scene);
    const dangers = dangersToWarn(scene);
    const body = [
      found.doNow.join('\n'),
      text(scene, 'danger-phone', { shop: scene.tools.shop.name, phone: scene.tools.shop.phone }),
      cautionsOf(scene, found, found.cautionsNow),
    ];
    const warned = [...new Set([...scene.file.conversation.warned, ...dangers])];
    return withTalk(reply(scene, joined(body)), { warned, greeted: true, services: servicesOf(found) });
  },

  sayDangerAgain: (scene) => reply(scene, text(scene, 'danger-again', { phone: scene.tools.shop.phone })),

  askTow(scene) {
    const choices = options(scene, ['yes', 'option-tow-in'], ['call', 'option-call-me'], ['no', 'option-no-tow']);
    return ask(scene, 'tow', text(scene, 'ask-tow'), choices);
  },

  askTowDetails: (scene) =>
    ask(scene, 'tow-details', text(scene, 'ask-tow-details'), options(scene, ['dont-know', 'option-dont-know'])),

  keepTowDetails(scene) {
    const said = scene.heard.text ?? '';
    const matter = scene.file.conversation.matter ?? { openedAt: scene.now, words: [], photos: [] };
    const note = { messageRef: `${scene.event.id}.tow`, text: text(scene, 'tow-note', { words: said }) };
    return withTalk(scene, { matter: { ...matter, words: [...matter.words, note] } });
  },

  sayAdvice(scene) {
    const found = adviceFor(scene);
    const services = servicesOf(found);
    const first = found.services.slice(0, AT_FIRST);
    const rest = found.services.length - first.length;
    const body = [
      text(scene, `urgency-${found.urgency}`, { truck: truckName(scene, vehicleOf(scene)) }),
      found.doNow.join('\n'),
      first.map((service) => serviceLine(scene, service.id, service.because.slice(0, 1))).join('\n'),
      rest > 0 ? text(scene, 'more-services', { count: rest }) : '',
      found.services.length === 0 ? watchLine(scene, found) : '',
      found.notes.join('\n'),
      services.length > 0 ? estimateLine(scene, services) : '',
      cautionsOf(scene, found),
    ];
    const said = reply(introduce(scene), joined(body));
    const kept = withTalk(said, { services });
    // Where something comes by mileage, what is asked instead is whether to be reminded of it.
    if (services.length === 0 && remindersWanted(scene)) return kept;
    if (services.length === 0) return ask(kept, 'anything', text(kept, 'ask-anything'), []);
    return ask(kept, 'advice', text(kept, 'ask-advice'), [
      ...options(
        kept,
        ['yes', 'option-see-times'],
        ['rest', 'option-whole-advice'],
        ['person', 'option-person'],
        ['no', 'option-not-now'],
      ),
    ]);
  },

  sayAdviceInFull(scene) {
    const found = adviceFor(scene);
    const lines = found.services.map((service) => serviceLine(scene, service.id, service.because));
    const notAdvised = found.notAdvised.map(({ id, because }) =>
      text(scene, 'not-advised-line', { service: scene.tools.serviceName(id, language(scene)), because }),
    );
    const due = found.dueAt.map(({ id, miles }) =>
      text(scene, 'due-at-line', {
        service: scene.tools.serviceName(id, language(scene)),
        miles: numberWords(miles, language(scene)),
      }),
    );
    const body = [
      lines.join('\n'),
      notAdvised.join('\n'),
      due.join('\n'),
      estimateInFull(scene, servicesOf(found)),
      cautionsOf(scene, found),
    ];
    return reply(scene, joined(body));
  },

  sayEstimate: (scene) => reply(scene, estimateInFull(scene, scene.file.conversation.services)),

  sayTimesNeedFacts: (scene) => reply(introduce(scene), text(scene, 'times-need-facts')),
  sayPriceNeedsFacts: (scene) => reply(introduce(scene), text(scene, 'price-needs-facts')),

  declineTamper(scene) {
    const caution = scene.tools
      .advise({ ...factsForAdvice(vehicleOf(scene), scene.today), intent: 'tamper' }, language(scene))
      .cautions.find(({ id }) => id === 'emissions-law');
    return reply(
      introduce(scene),
      joined([
        text(scene, 'decline-tamper'),
        text(scene, 'instead-of-tamper'),
        caution?.text ?? '',
        text(scene, 'deferral'),
      ]),
    );
  },

  sayNotNow: (scene) =>
    withTalk(reply(scene, text(scene, 'not-now', { phone: scene.tools.shop.phone })), {
      question: null,
      chosen: null,
      offered: [],
    }),
};

export const adviceFor = (scene: Scene): AdviceInFull =>
  scene.tools.advise(factsForAdvice(vehicleOf(scene), scene.today), language(scene));

export const servicesOf = (found: AdviceInFull): ServiceId[] => found.services.map(({ id }) => id);

const joined = (parts: readonly string[]): string => parts.filter((part) => part !== '').join('\n\n');

const serviceLine = (scene: Scene, id: ServiceId, because: readonly string[]): string =>
  text(scene, 'service-line', { service: scene.tools.serviceName(id, language(scene)), because: because.join(' ') });

/** Where nothing is due: what comes next, and at which mileage. */
function watchLine(scene: Scene, found: AdviceInFull): string {
  const [next] = [...found.dueAt].sort((one, other) => one.miles - other.miles);
  if (!next) return text(scene, 'nothing-due');
  return text(scene, 'nothing-due-until', {
    service: scene.tools.serviceName(next.id, language(scene)),
    miles: numberWords(next.miles, language(scene)),
  });
}

export function estimateLine(scene: Scene, services: ServiceId[]): string {
  const estimate = scene.tools.estimate(factsForAdvice(vehicleOf(scene), scene.today), services, language(scene));
  const values = {
    total: moneyWords(estimate.total, language(scene)),
    hours: hoursWords(estimate.labourHours, language(scene)),
    leftOut: estimate.leftOut.join(', '),
  };
  const line = text(scene, estimate.diagnosisOnly ? 'estimate-diagnosis' : 'estimate', values);
  return estimate.limit ? `${line} ${estimate.limit.text}` : line;
}

function estimateInFull(scene: Scene, services: ServiceId[]): string {
  const estimate = scene.tools.estimate(factsForAdvice(vehicleOf(scene), scene.today), services, language(scene));
  const lines = estimate.lines.map((line) =>
    text(scene, 'estimate-line', {
      text: line.text,
      hours: hoursWords(line.labourHours, language(scene)),
      parts: moneyWords(line.parts, language(scene)),
    }),
  );
  return joined([lines.join('\n'), estimateLine(scene, services), estimate.breakEven?.text ?? '']);
}

/** The cautions, and once, last, the deferral to a qualified technician and local rules. */
function cautionsOf(scene: Scene, found: AdviceInFull, shown = found.cautions.map(({ id }) => id)): string {
  const cautions = found.cautions.filter(({ id }) => id !== 'local-code' && shown.includes(id));
  if (found.cautions.length === 0) return '';
  const lines = cautions.map((caution) => text(scene, 'caution-line', { caution: caution.text }));
  return [...lines, text(scene, 'deferral')].join('\n');
}
