import { DateTime } from 'luxon';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { type Browser, closingOf, onlyRequest, openStage, type Stage, textOf, wordsTo } from './counter-stage.ts';

const SUNDAY = 7;

let stage: Stage;
let desk: Browser;
beforeEach(async () => {
  stage = await openStage();
  desk = await stage.signIn('tock');
});
afterEach(() => stage.close());

const view = async (id: string) => {
  const found = await stage.system.store.views.request(id);
  if (!found) throw new Error(`there is no request ${id}`);
  return found;
};
const booked = async () => {
  const { request, owner } = await onlyRequest(stage, 'accepted');
  if (!request.slot) throw new Error('nothing is booked');
  return { id: request.id, ownerId: owner.id, slot: request.slot };
};
const act = async (id: string, action: string, fields: Record<string, string | string[]> = {}) =>
  desk.submit(`/counter/request/${id}/${action}`, { revision: String((await view(id)).request.revision), ...fields });
const toOwner = (ownerId: string) => wordsTo(stage, ownerId);
/** A working day three weeks on, on which the demo has nothing. */
const freeDay = () => {
  const day = new Date(Date.parse(stage.system.time.now()) + 21 * 86_400_000);
  while (day.getUTCDay() !== 3) day.setUTCDate(day.getUTCDate() + 1);
  return day.toISOString().slice(0, 10);
};
const block = (date: string, more: Record<string, string> = {}) =>
  desk.submit('/counter/block', {
    resource: 'bay-1',
    date,
    from: '08:00',
    untilDate: date,
    until: '12:00',
    because: 'lift is inspected',
    ...more,
  });

describe('the diary', () => {
  it('opens, on a day on which the shop does not work, at the next one on which it does', async () => {
    const zone = stage.system.flows.shop.zone;
    const today = () => DateTime.fromISO(stage.system.time.now(), { zone });
    const daysLeft = SUNDAY - today().weekday;
    if (daysLeft > 0) await desk.submit('/counter/demo-clock', { days: String(daysLeft) });
    const sunday = today();
    expect(sunday.weekday).toBe(SUNDAY);
    const day = textOf(await desk.get('/counter/day'));
    expect(day).not.toContain(sunday.toFormat('LLLL d, yyyy'));
    expect(day).not.toContain('Closed');
    const week = textOf(await desk.get('/counter/week'));
    expect(week).toContain(`Week of ${sunday.plus({ days: 1 }).toFormat('LLLL d, yyyy')}`);
  });
});

describe('a block', () => {
  it('stands in the day and the week with its reason, and is given back', async () => {
    const date = freeDay();
    expect((await block(date)).statusCode).toBe(303);
    const day = await desk.get(`/counter/day?date=${date}`);
    expect(textOf(day)).toContain('lift is inspected');
    expect(textOf(day)).toContain('4 of 40 bay hours are taken.');
    expect(textOf(await desk.get(`/counter/week?date=${date}`))).toContain('lift is inspected');
    const [id] = /block-[\w-]+(?=\/end)/.exec(day.body) ?? [];
    await desk.submit(`/counter/block/${id}/end`, { date });
    expect(textOf(await desk.get(`/counter/day?date=${date}`))).not.toContain('lift is inspected');
  });

  it('is refused where a job stands: nothing is kept', async () => {
    const { slot } = await booked();
    const [date, untilDate] = [slot.start.slice(0, 10), slot.end.slice(0, 10)];
    const answer = await block(date, { resource: slot.bay, untilDate, from: '07:00', until: '18:00' });
    expect(textOf(answer)).toContain('a job stands there');
    expect(textOf(await desk.get(`/counter/day?date=${date}`))).not.toContain('lift is inspected');
  });

  it.each([
    ['no reason', { because: ' ' }],
    ['its end before its start', { until: '07:00' }],
    ['a bay that the shop has not', { resource: 'bay-99' }],
  ])('is refused with %s', async (_why, fields) => {
    expect(textOf(await block(freeDay(), fields))).toContain('The block was not kept');
  });
});

describe('a job that is entered for somebody who phoned', () => {
  const entry = (more: Record<string, string | string[]> = {}) =>
    desk.submit('/counter/enter', {
      name: 'Sedge Hauling',
      phone: '303-555-0170',
      unit: '7',
      purchaseOrder: '1234',
      truck: '2016 6.7 V8 diesel, 97,400 miles',
      complaint: 'starts hard',
      service: ['oil-service', 'scan-diagnosis'],
      date: freeDay(),
      from: '10:00',
      hours: '2',
      bay: 'bay-2',
      ...more,
    });

  it('is booked at once, with the truck as it was told and the papers of the fleet', async () => {
    expect((await entry()).statusCode).toBe(303);
    const [found] = await stage.system.store.views.search('Sedge Hauling');
    expect(found?.requests).toMatchObject([{ state: 'accepted', slot: { bay: 'bay-2' }, enteredBy: 'Perrin Tockley' }]);
    expect(found?.vehicle.papers).toMatchObject({ unit: '7', purchaseOrder: '1234' });
    expect(found?.vehicle.facts.find(({ key }) => key === 'odometerMiles')?.value).toBe(97_400);
    expect(textOf(await desk.get(`/counter/day?date=${freeDay()}`))).toContain('Sedge Hauling');
  });

  it('has what is wrong read as an owner would be, so that its sheet advises and says how urgent it is', async () => {
    await entry({ complaint: 'starts hard, and it smells of exhaust in the cab since friday' });
    const [found] = await stage.system.store.views.search('Sedge Hauling');
    expect(found?.vehicle.facts.find(({ key }) => key === 'symptoms')?.value).toEqual([
      'exhaust-smell-in-cab',
      'hard-start',
    ]);
    const sheet = textOf(await desk.get(`/counter/request/${found?.requests[0]?.id}`));
    expect(sheet).toContain('Exhaust leak inspection');
  });

  it.each([
    ['no name', { name: '' }, 'Name, phone number and truck'],
    ['no work', { service: [] }, 'Tick at least one'],
    ['a time between the quarter hours', { from: '10:05' }, 'no time of the shop'],
  ])('comes again with what was written where it has %s', async (_why, fields, words) => {
    const answer = await entry(fields);
    expect(textOf(answer)).toContain(words);
    expect(answer.body).toContain('starts hard');
    expect(await stage.system.store.views.search('Sedge Hauling')).toEqual([]);
  });
});

describe('a job in the house', () => {
  it('is taken in with its state, asked for more work, answered in part, lengthened and closed', async () => {
    const { id, ownerId, slot } = await booked();
    await act(id, 'arrive', {
      odometerMiles: '84,120',
      damage: 'dent in the door',
      keys: 'front desk',
      limit: '',
      signedBy: '',
    });
    expect((await view(id)).request).toMatchObject({
      state: 'arrived',
      arrival: { odometerMiles: 84_120, damage: 'dent in the door', by: 'Perrin Tockley' },
    });
    await act(id, 'start-work');
    await act(id, 'ask-approval', {
      what0: 'intake cleaning',
      service0: 'intake-cleaning',
      low0: '400',
      high0: '600',
      what1: 'new coolant hose',
      service1: '',
      low1: '80',
      high1: '80',
      because: 'heavy soot',
    });
    expect((await toOwner(ownerId)).join('\n')).toContain('intake cleaning');
    await act(id, 'record-approval', { item: '0', who: 'Linden Marsh', how: 'phone' });
    const sheet = textOf(await desk.get(`/counter/request/${id}`));
    expect(sheet).toContain('$400 – $600: yes');
    expect(sheet).toContain('$80: no');
    await act(id, 'lengthen', { hours: '1' });
    expect(Date.parse((await view(id)).request.slot?.end ?? '')).toBeGreaterThan(Date.parse(slot.end));
    const { request } = await view(id);
    expect(textOf(await desk.get(`/counter/request/${id}/close`))).toContain('Intake cleaning');
    const closing = closingOf(request, stage.system.time.now().slice(0, 10), '84,130');
    await act(id, 'close', { ...closing, service: [...request.services, 'intake-cleaning'] });
    expect((await view(id)).request.state).toBe('closed');
    const record = (await stage.system.store.views.talk(ownerId)).findLast(({ attachment }) => attachment)?.attachment;
    expect(record?.mediaType).toBe('image/svg+xml');
    expect(record?.content).toContain('84,130');
  });

  it.each([
    ['a limit that nobody signed', 'arrive', { limit: '300', signedBy: '' }],
    ['more work without its price', 'ask-approval', { what0: 'hose', service0: '', low0: '', high0: '' }],
    ['a lengthening by nothing', 'lengthen', { hours: '0' }],
  ])('is not changed by %s', async (_why, action, fields) => {
    const { id } = await booked();
    const before = (await view(id)).request;
    const answer = await act(id, action, fields);
    expect(answer.body).toContain('role="alert"');
    expect((await view(id)).request).toEqual(before);
  });
});

describe('what the assistant could not read', () => {
  it('is labelled with a known meaning only, and taken away a JSON object a line', async () => {
    const [clause] = await stage.system.store.views.unread();
    if (!clause) throw new Error('everything was read');
    await desk.submit(`/counter/unread/${clause.id}`, { label: 'anything' });
    expect((await desk.get('/counter/unread.jsonl')).body).toBe('');
    await desk.submit(`/counter/unread/${clause.id}`, { label: 'hard-start' });
    const { body, headers } = await desk.get('/counter/unread.jsonl');
    expect(headers['content-disposition']).toContain('.jsonl');
    expect(
      body
        .trim()
        .split('\n')
        .map((row): unknown => JSON.parse(row)),
    ).toEqual([{ clause: clause.text, label: 'hard-start' }]);
  });
});
