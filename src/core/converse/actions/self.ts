import { HOLDING_STATES, REQUEST_FOLLOW_UPS, type BookingRequest, type Vehicle } from '../../model/owner.ts';
import type { Instant } from '../../model/time.ts';
import type { Reply } from '../../model/turn.ts';
import {
  ask,
  closeQuestion,
  effect,
  language,
  options,
  reply,
  staffText,
  text,
  vehicleOf,
  withFollowUp,
  withOwner,
  withTalk,
  type Action,
  type Scene,
} from '../scene.ts';
import { dayWords, numberWords, truckName } from '../words.ts';
import { factLine, introduce } from './write-up.ts';

/** What an owner may ask of the assistant itself, at any time. */
export const self: Record<string, Action> = {
  /** Takes effect at once and is confirmed once; what the owner asked the shop for stays with the shop. */
  optOut: (scene) => ended(scene, 'stopped'),

  /** Whoever has moved away is not written to any more; the trucks stay known. */
  sayMovedAway: (scene) => ended(scene, 'moved-away'),

  optIn(scene) {
    const wording = text(scene, 'opt-in-wording', { shop: scene.tools.shop.name });
    const { optedOutAt: _ended, ...owner } = scene.file.owner;
    const agreed = { ...scene, file: { ...scene.file, owner: { ...owner, consent: { at: scene.now, wording } } } };
    return reply(agreed, text(scene, 'started-again'));
  },

  sayHelp: (scene) => reply(scene, text(scene, 'help', { shop: scene.tools.shop.name, phone: scene.tools.shop.phone })),

  callPerson(scene) {
    const { owner, conversation } = scene.file;
    const said = scene.event.kind === 'message' ? scene.event.text : '';
    const words = [...new Set([...(conversation.matter?.words ?? []).map((word) => word.text), said])]
      .filter(Boolean)
      .slice(-3);
    const told = withTalk(reply(introduce(scene), text(scene, 'person-coming', { phone: scene.tools.shop.phone })), {
      notUnderstood: 0,
    });
    const note = staffText(scene, 'staff-person-wanted', {
      name: owner.name ?? staffText(scene, 'no-name'),
      phone: owner.phone ?? staffText(scene, 'no-phone'),
      truck: truckName(scene, vehicleOf(scene), true),
      words: words.map((word) => `"${word}"`).join(' '),
    });
    return reply(told, note, { to: 'staff' });
  },

  sayTrucks(scene) {
    const active = scene.file.vehicles.filter(({ state }) => state === 'active');
    if (active.length === 0) return reply(scene, text(scene, 'no-trucks'));
    const lines = active.map((vehicle) => {
      const miles = vehicle.readings.at(-1)?.miles;
      const line = miles === undefined ? 'truck-line-no-miles' : 'truck-line';
      return text(scene, line, {
        truck: truckName(scene, vehicle),
        miles: miles === undefined ? '' : numberWords(miles, language(scene)),
      });
    });
    return reply(scene, [text(scene, 'trucks-head'), ...lines].join('\n'));
  },

  sayData(scene) {
    const { owner, vehicles, requests } = scene.file;
    const contact = text(scene, 'data-contact', { name: owner.name ?? '–', phone: owner.phone ?? '–' });
    const consent = owner.consent
      ? text(scene, 'data-consent', { date: dayWords(owner.consent.at.slice(0, 10), language(scene)) })
      : text(scene, 'data-no-consent');
    const trucks = vehicles.map((vehicle) => {
      const facts = vehicle.facts
        .map((fact) => factLine(scene, fact))
        .filter(Boolean)
        .join(', ');
      return text(scene, 'data-truck', {
        truck: truckName(scene, vehicle),
        facts: facts || '–',
        records: vehicle.records.length,
      });
    });
    const asked = text(scene, 'data-requests', { count: requests.length });
    const agreements = requests.flatMap((request) => agreementLines(scene, request));
    return reply(
      scene,
      [text(scene, 'data-head'), contact, consent, ...trucks, asked, ...agreements, text(scene, 'data-foot')].join(
        '\n',
      ),
    );
  },

  /** The truck's card: last reading, next due with its range in words. */
  sayStatus(scene) {
    const active = scene.file.vehicles.filter(({ state }) => state === 'active');
    if (active.length === 0) return reply(scene, text(scene, 'no-trucks'));
    const lines = active.map((vehicle) => {
      const outlook = scene.tools.outlook(vehicle, scene.today);
      const last = vehicle.readings.at(-1);
      const truck = truckName(scene, vehicle);
      if (!last) return text(scene, 'status-no-reading', { truck });
      const miles = numberWords(last.miles, language(scene));
      const date = dayWords(last.date, language(scene));
      if (!outlook) return text(scene, 'status-nothing-due', { truck, miles, date });
      return text(scene, 'status', {
        truck,
        miles,
        date,
        services: outlook.services.map((id) => scene.tools.serviceName(id, language(scene))).join(', '),
        dueMiles: numberWords(outlook.dueMiles, language(scene)),
        from: outlook.dueDate.p10 ? dayWords(outlook.dueDate.p10, language(scene)) : text(scene, 'over-ten-years'),
        to: outlook.dueDate.p90 ? dayWords(outlook.dueDate.p90, language(scene)) : text(scene, 'over-ten-years'),
      });
    });
    return reply(scene, lines.join('\n\n'), statusPicture(scene, active));
  },

  sayLink(scene) {
    if (!scene.token || scene.file.owner.channel === 'telegram') return reply(scene, text(scene, 'link-not-needed'));
    return effect(reply(scene, text(scene, 'link-how', { code: scene.token })), {
      do: 'offer-link',
      code: scene.token,
    });
  },

  sayLanguage(scene) {
    const said = scene.heard.text ?? '';
    const wanted = /english|ingl/i.test(said)
      ? 'en'
      : /espa|spanish/i.test(said)
        ? 'es'
        : language(scene) === 'en'
          ? 'es'
          : 'en';
    const switched = withOwner(scene, { language: wanted });
    return reply(switched, text(switched, 'language-now'));
  },

  askForget: (scene) =>
    ask(
      scene,
      'forget',
      text(scene, 'ask-forget'),
      options(scene, ['yes', 'option-forget'], ['no', 'option-keep-data']),
    ),

  forget: (scene) => effect(reply(closeQuestion(scene, ''), text(scene, 'forgotten')), { do: 'forget-owner' }),

  keepData: (scene) => reply(closeQuestion(scene, text(scene, 'option-keep-data')), text(scene, 'data-kept')),

  sayWelcome: (scene) => reply(scene, text(scene, 'welcome')),
};

/** The forecast of the only truck, or of the one in hand, as a picture beside the words; none where nothing is foretold. */
function statusPicture(scene: Scene, active: readonly Vehicle[]): Partial<Reply> {
  const vehicle = active.length === 1 ? active[0] : active.find(({ id }) => id === scene.file.conversation.vehicleId);
  const outlook = vehicle && scene.tools.outlook(vehicle, scene.today);
  if (!vehicle || !outlook) return {};
  const content = scene.tools.forecastPicture(vehicle, outlook, scene.today, language(scene));
  return { attachment: { name: `status-${scene.today}.svg`, mediaType: 'image/svg+xml', content, toLookAt: true } };
}

/** What the owner agreed to in the chat, word for word. */
function agreementLines(scene: Scene, { agreed, moreWork = [] }: BookingRequest): string[] {
  const day = (at: Instant): string => dayWords(at.slice(0, 10), language(scene));
  const more = moreWork.flatMap(({ answer }) => {
    if (!answer?.wording) return [];
    const numbers = answer.items.map((index) => index + 1).join(', ');
    const said = text(scene, `approval-${answer.answer}`, { numbers });
    return [text(scene, 'data-answered', { date: day(answer.at), who: answer.who, said, wording: answer.wording })];
  });
  if (!agreed) return more;
  return [text(scene, 'data-agreed', { date: day(agreed.at), who: agreed.who, wording: agreed.wording }), ...more];
}

/** Nothing more is written unasked: at once, on every channel, confirmed once. */
function ended(scene: Scene, textId: 'stopped' | 'moved-away'): Scene {
  if (scene.file.owner.optedOutAt) return scene;
  const { consent: _withdrawn, ...owner } = scene.file.owner;
  const out = { ...scene, file: { ...scene.file, owner: { ...owner, optedOutAt: scene.now } } };
  const waiting = out.file.followUps.filter(
    ({ state, kind }) => state === 'waiting' && !REQUEST_FOLLOW_UPS.includes(kind),
  );
  const closed = waiting.reduce(
    (next, due) =>
      withFollowUp(next, { ...due, state: 'closed', log: [...due.log, { at: scene.now, what: 'opted-out' }] }),
    out as Scene,
  );
  const open = scene.file.requests.some(({ state }) => HOLDING_STATES.includes(state));
  const told = reply(
    closeQuestion(closed, text(scene, 'option-stop-reminders')),
    text(scene, open ? 'stopped-request-open' : textId, { phone: scene.tools.shop.phone }),
  );
  return open
    ? reply(told, staffText(scene, 'staff-opted-out', { phone: scene.file.owner.phone ?? '' }), { to: 'staff' })
    : told;
}
