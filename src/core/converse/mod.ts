import { sound, unsound, type Checked, type FlowFile } from '../model/checked.ts';
import type { FollowUpKind } from '../model/owner.ts';
import type { Texts } from '../model/texts.ts';
import { compileChart, type Chart } from './chart.ts';
import { compileCommands, type Commands } from './commands.ts';
import { advice } from './actions/advice.ts';
import { approval } from './actions/approval.ts';
import { fleet } from './actions/fleet.ts';
import { doneElsewhere } from './actions/done-elsewhere.ts';
import { followUp } from './actions/follow-up.ts';
import { putOff } from './actions/put-off.ts';
import { hold } from './actions/hold.ts';
import { metal } from './actions/metal.ts';
import { request } from './actions/request.ts';
import { self } from './actions/self.ts';
import { shop } from './actions/shop.ts';
import { shopDay } from './actions/shop-day.ts';
import { times } from './actions/times.ts';
import { writeUp } from './actions/write-up.ts';
import { listen } from './listen.ts';
import { compileQuestions, type Questions } from './questions.ts';
import { GUARDS, guardsOf } from './situation.ts';
import { SIGNALS, type Listened } from './signals.ts';
import { listenToStaff } from './staff.ts';
import { truckFor, withTalk, type Action, type Scene } from './scene.ts';

export type { Heard, Outlook, Scene, Tools } from './scene.ts';
export { followUpInHand, openRequest } from './situation.ts';
export { releaseHold } from './actions/hold.ts';
export { newId, withFollowUp } from './scene.ts';

const ACTIONS: Readonly<Record<string, Action>> = {
  ...writeUp,
  ...advice,
  ...times,
  ...request,
  ...shop,
  ...shopDay,
  ...fleet,
  ...approval,
  ...hold,
  ...metal,
  ...followUp,
  ...putOff,
  ...doneElsewhere,
  ...self,
};

/** The checked content of flows/conversation. */
export interface Talk {
  chart: Chart;
  questions: Questions;
  commands: Commands;
}

/** Checks flows/conversation: the chart, the questions of the write-up, and the commands. */
export function compileTalk(files: readonly FlowFile[], texts: Pick<Texts, 'ids'>): Checked<Talk> {
  const file = (name: string): FlowFile =>
    files.find(({ path }) => path.endsWith(`conversation/${name}`)) ?? { path: `flows/conversation/${name}`, text: '' };
  const vocabulary = { signals: SIGNALS, guards: GUARDS, actions: Object.keys(ACTIONS) };
  const chart = compileChart(file('owner.yaml'), vocabulary);
  const questions = compileQuestions(file('questions.yaml'), texts);
  const commands = compileCommands(file('commands.yaml'), SIGNALS);
  if (chart.ok && questions.ok && commands.ok) {
    return sound({ chart: chart.value, questions: questions.value, commands: commands.value });
  }
  return unsound([chart, questions, commands].flatMap((part) => (part.ok ? [] : part.findings)));
}

/** Hears the event, moves the talk through the chart, and does what the chart says; pure. */
export function converse(scene: Scene, talk: Talk): Scene {
  const { scene: heard, signals } = hear(scene, talk);
  return signals.reduce((now, signal) => step(now, signal, talk), heard);
}

function hear(scene: Scene, talk: Talk): Listened {
  const { event } = scene;
  if (event.kind === 'staff') return listenToStaff(scene, event.by, event.action);
  if (event.kind !== 'time') return listen(scene, talk.commands);
  const due = scene.file.followUps.find(({ id }) => id === event.followUpId);
  if (!due || due.state !== 'waiting') return { scene, signals: [] };
  const inHand =
    truckFor(scene, due.vehicleId) && !scene.file.conversation.matter
      ? withTalk(scene, { vehicleId: due.vehicleId ?? null })
      : scene;
  return { scene: inHand, signals: [TIME_SIGNALS[due.kind]] };
}

const TIME_SIGNALS: Record<FollowUpKind, string> = {
  'odometer-check': 'TIME_ODOMETER',
  'service-due': 'TIME_SERVICE',
  'appointment-reminder': 'TIME_APPOINTMENT',
  'leak-check': 'TIME_LEAK',
  'put-off': 'TIME_PUT_OFF',
  'request-unanswered': 'TIME_UNANSWERED',
  'offer-unanswered': 'TIME_OFFER',
  'approval-unanswered': 'TIME_APPROVAL',
  'hold-ends': 'TIME_HOLD',
  'metal-news': 'TIME_METAL',
};

/** Signals that a state does not know are not understood there, save those that the clock and the shop send. */
function step(scene: Scene, signal: string, talk: Talk): Scene {
  const position = talk.chart.restore(scene.file.conversation.position);
  const result = talk.chart.step(position, signal, guardsOf(scene));
  const fromOwner = scene.event.kind !== 'time' && scene.event.kind !== 'staff';
  if (result.actions.length === 0 && fromOwner && signal !== 'NOT_UNDERSTOOD')
    return step(scene, 'NOT_UNDERSTOOD', talk);
  const moved = withTalk(scene, { position: result.position });
  const traced = { ...moved, trace: [...moved.trace, `${signal}: ${result.actions.join(', ')}`] };
  return result.actions.reduce<Scene>((now, name) => (now.need ? now : (ACTIONS[name]?.(now) ?? now)), traced);
}
