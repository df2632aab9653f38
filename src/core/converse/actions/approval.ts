import type { BookingRequest, FollowUp, MoreWork } from '../../model/owner.ts';
import {
  ask,
  closeQuestion,
  language,
  newId,
  options,
  reply,
  staffText,
  text,
  truckFor,
  withFollowUp,
  withRequest,
  withTalk,
  type Action,
  type Scene,
} from '../scene.ts';
import { moneyWords, truckName } from '../words.ts';
import { closeFollowUps, staffTruck, truck } from './request.ts';
import { requestInHand, tellStaff } from './shop.ts';

const openWork = (request: BookingRequest | undefined): MoreWork | undefined =>
  request?.moreWork?.find(({ answer }) => answer === undefined);

/** Buttons bear so many single items; more are answered by their numbers. */
const MOST_BUTTONS = 4;

/** More work was found: it is asked of the one who approves, and nothing of it is done without a yes. */
export const approval: Record<string, Action> = {
  askApproval(scene) {
    const asked = requestInHand(scene);
    const work = openWork(asked);
    if (!asked || !work) return scene;
    const inHand = withTalk(scene, { vehicleId: asked.vehicleId });
    const choices = [
      ...options(scene, ['yes', work.items.length > 1 ? 'option-approve-all' : 'option-approve']),
      ...(work.items.length > 1 && work.items.length <= MOST_BUTTONS
        ? work.items.map(({ what }, index) => ({
            id: `i${index}`,
            label: text(scene, 'option-approve-only', { number: index + 1, what: shortened(what) }),
          }))
        : []),
      ...options(scene, ['no', 'option-approve-none'], ['call', 'option-call-me']),
    ];
    const put = ask(inHand, 'approval', approvalWords(scene, asked, work), choices);
    return tellStaff(askAgainLater(put, asked), asked, 'staff-approval-asked');
  },

  /** Somebody else approves: the one who chats hears who is asked, and staff whom to phone. */
  sayApproverAsked(scene) {
    const asked = requestInHand(scene);
    const work = openWork(asked);
    if (!asked || !work) return scene;
    const { owner } = scene.file;
    const approver = truck(scene, asked)?.papers?.approver ?? {
      name: owner.name ?? staffText(scene, 'the-owner'),
      ...(owner.phone !== undefined && { phone: owner.phone }),
    };
    const told = reply(
      scene,
      text(scene, 'approver-asked', {
        truck: truckName(scene, truck(scene, asked)),
        items: itemLines(scene, work),
        name: approver.name,
      }),
    );
    const note = staffText(scene, 'staff-approver-phone', {
      truck: staffTruck(scene, asked),
      name: approver.name,
      phone: approver.phone ?? staffText(scene, 'no-phone'),
      id: asked.id,
    });
    return reply(askAgainLater(told, asked), note, { to: 'staff', requestId: asked.id });
  },

  approveAll: (scene) => answered(scene, 'yes', []),
  approveNone: (scene) => answered(scene, 'no', []),

  /** "1 and 3", or a tap on one of them. */
  approveSome(scene) {
    const work = openWork(inQuestion(scene));
    const tapped = /^i(\d+)$/.exec(scene.heard.option ?? '')?.[1];
    const named = tapped === undefined ? itemsNamed(scene.heard.text ?? '', work?.items.length ?? 0) : [Number(tapped)];
    if (named.length === 0) return reply(scene, text(scene, 'approval-unclear'));
    return answered(scene, 'in-part', named);
  },

  sayApprovalRecorded(scene) {
    const request = requestInHand(scene);
    const last = request?.moreWork?.findLast(({ answer }) => answer !== undefined);
    if (!request || !last?.answer) return scene;
    const { question } = scene.file.conversation;
    const settled = question?.about === 'approval' ? closeQuestion(scene, answerWords(scene, last)) : scene;
    const kept = closeKind(settled, request.id, 'approval-unanswered');
    const told = reply(
      kept,
      text(scene, 'approval-recorded', {
        truck: truckName(scene, truck(scene, request)),
        who: last.answer.who,
        answer: answerWords(scene, last),
      }),
    );
    return tellStaffAnswer(told, request, last);
  },

  /** Nobody answered: staff are told to phone; the work stays undone. */
  escalateApproval(scene) {
    const due = scene.event.kind === 'time' ? followUpOf(scene, scene.event.followUpId) : undefined;
    const request = scene.file.requests.find(({ id }) => id === due?.requestId);
    if (!due) return scene;
    const log: FollowUp['log'] = [...due.log, { at: scene.now, what: 'staff-told' }];
    const closed = withFollowUp(scene, { ...due, state: 'closed', attempts: due.attempts + 1, log });
    if (!request || request.state !== 'awaiting-approval') return closed;
    const approver = truckFor(scene, request.vehicleId)?.papers?.approver;
    const note = staffText(scene, 'staff-approval-unanswered', {
      truck: staffTruck(scene, request),
      phone: approver?.phone ?? scene.file.owner.phone ?? staffText(scene, 'no-phone'),
      id: request.id,
    });
    return reply(closed, note, { to: 'staff', requestId: request.id });
  },
};

function inQuestion({ file, heard }: Scene): BookingRequest | undefined {
  const waiting = file.requests.filter(({ state }) => state === 'awaiting-approval');
  const vehicleId = (heard.question ?? file.conversation.question)?.vehicleId;
  return waiting.find((request) => request.vehicleId === vehicleId) ?? waiting.at(-1);
}

const followUpOf = (scene: Scene, id: string): FollowUp | undefined =>
  scene.file.followUps.find((followUp) => followUp.id === id);

const shortened = (what: string): string => (what.length > 40 ? `${what.slice(0, 39)}…` : what);

/** What the one who approves is shown. */
const approvalWords = (scene: Scene, request: BookingRequest, work: MoreWork): string =>
  text(scene, 'ask-approval', {
    truck: truckName(scene, truck(scene, request)),
    items: [itemLines(scene, work), work.because ?? ''].filter((line) => line !== '').join('\n'),
  });

const itemLines = (scene: Scene, { items }: MoreWork): string =>
  items
    .map(({ what, dollars }, index) =>
      text(scene, 'approval-item', { number: index + 1, what, money: moneyWords(dollars, language(scene)) }),
    )
    .join('\n');

function itemsNamed(said: string, count: number): number[] {
  const numbers = (said.match(/\d+/g) ?? []).map((digits) => Number(digits) - 1);
  return [...new Set(numbers)].filter((index) => index >= 0 && index < count);
}

function answered(scene: Scene, answer: 'yes' | 'no' | 'in-part', items: number[]): Scene {
  const request = inQuestion(scene);
  if (!request) return reply(scene, text(scene, 'no-appointment'));
  const who = scene.file.owner.name ?? staffText(scene, 'the-owner');
  const work = openWork(request);
  const wording = work && approvalWords(scene, request, work);
  const said = { do: 'approval' as const, answer, items, who, how: 'chat' as const, ...(wording && { wording }) };
  const changed = scene.tools.change(request, said, who, scene.now);
  if (!changed.ok) return reply(scene, text(scene, 'approval-too-late'));
  const last = changed.request.moreWork?.at(-1);
  if (!last) return scene;
  const words = answerWords(scene, last);
  const kept = closeKind(withRequest(closeQuestion(scene, words), changed.request), request.id, 'approval-unanswered');
  const told = reply(kept, text(scene, 'approval-noted', { answer: words, phone: scene.tools.shop.phone }));
  return tellStaffAnswer(told, changed.request, last);
}

/** "yes to all of it", "no", "yes to 1, 3". */
function answerWords(scene: Scene, { answer }: MoreWork, forStaff = false): string {
  const say = forStaff ? staffText : text;
  const numbers = (answer?.items ?? []).map((index) => index + 1).join(', ');
  return say(scene, `approval-${answer?.answer ?? 'no'}`, { numbers });
}

function tellStaffAnswer(scene: Scene, request: BookingRequest, work: MoreWork): Scene {
  const lines = work.items.map(({ what }, index) =>
    staffText(scene, work.answer?.items.includes(index) ? 'staff-item-approved' : 'staff-item-refused', { what }),
  );
  const note = staffText(scene, 'staff-approval-answer', {
    truck: staffTruck(scene, request),
    answer: answerWords(scene, work, true),
    who: work.answer?.who ?? '',
    how: staffText(scene, `approval-way-${work.answer?.how ?? 'chat'}`),
    items: lines.join('\n'),
  });
  return reply(scene, note, { to: 'staff', requestId: request.id });
}

const closeKind = (scene: Scene, requestId: string, kind: FollowUp['kind']): Scene =>
  closeFollowUps(scene, requestId, 'answered-in-time', [kind]);

/** The shop's answer time serves for the owner as well: after it a person takes over. */
function askAgainLater(scene: Scene, request: BookingRequest): Scene {
  const [id, next] = newId(scene);
  return withFollowUp(next, {
    id: `f-${id}`,
    kind: 'approval-unanswered',
    vehicleId: request.vehicleId,
    requestId: request.id,
    dueAt: scene.tools.answerBy(scene.now),
    state: 'waiting',
    services: [],
    attempts: 0,
    log: [{ at: scene.now, what: 'approval-asked' }],
  });
}
