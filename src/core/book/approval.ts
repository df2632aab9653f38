import type { ServiceId } from '../model/ids.ts';
import type { ApprovalWay, BookingRequest, MoreWork, WorkItem } from '../model/owner.ts';
import type { Instant } from '../model/time.ts';

/** What the one who approves said: which items, by their place from 0. */
export interface ApprovalAnswer {
  answer: 'yes' | 'no' | 'in-part';
  items: number[];
  who: string;
  how: ApprovalWay;
  /** The one of the staff who wrote it down; absent where it was said in the chat. */
  recordedBy?: string;
  /** What was shown in the chat. */
  wording?: string;
}

/** The work that was found and has no answer yet. */
export const openWork = ({ moreWork }: Pick<BookingRequest, 'moreWork'>): MoreWork | undefined =>
  moreWork?.find(({ answer }) => answer === undefined);

export function withMoreWork(
  request: BookingRequest,
  asked: { items: WorkItem[]; because?: string },
  by: string,
  at: Instant,
): BookingRequest {
  const before = request.moreWork ?? [];
  const work: MoreWork = {
    id: `${request.id}-w${before.length + 1}`,
    askedAt: at,
    askedBy: by,
    ...(asked.because && { because: asked.because }),
    items: asked.items,
  };
  return { ...request, moreWork: [...before, work] };
}

/** The open work with its answer. Yes is to all of it, no to none; "in part" names the items. */
export function withAnswer(request: BookingRequest, said: ApprovalAnswer, at: Instant): BookingRequest {
  const open = openWork(request);
  if (!open) return request;
  const all = open.items.map((_, index) => index);
  const items = said.answer === 'yes' ? all : said.answer === 'no' ? [] : all.filter((one) => said.items.includes(one));
  const answer = items.length === 0 ? 'no' : items.length === all.length ? 'yes' : 'in-part';
  const { who, how, recordedBy, wording } = said;
  const answered: MoreWork = {
    ...open,
    answer: {
      answer,
      items,
      who,
      how,
      at,
      ...(recordedBy !== undefined && { recordedBy }),
      ...(wording !== undefined && { wording }),
    },
  };
  return { ...request, moreWork: request.moreWork?.map((work) => (work === open ? answered : work)) ?? [answered] };
}

/** The services that may be done: those that were booked, and those that were approved since. */
export function approvedServices({ services, moreWork = [] }: BookingRequest): ServiceId[] {
  const more = moreWork.flatMap(({ items, answer }) =>
    (answer?.items ?? []).flatMap((index) => items[index]?.service ?? []),
  );
  return [...services, ...more];
}
