import { html, type Html } from '../html.ts';
import type { Means } from '../means.ts';
import { page } from '../page.ts';
import type { Session } from './session.ts';
import { day, shopDay } from './words.ts';

export type Say = (id: string, values?: Record<string, string | number>) => string;

export const sayIn =
  (means: Means): Say =>
  (id, values = {}) =>
    means.flows.texts.say('en', id, values);

/** The frame of the shop's pages: the head with its ways, the demo's clock where there is one, and the sheet. */
export function counterPage(
  means: Means,
  session: Session,
  title: string,
  body: Html,
  /** `at` is the address of the page, so that the way it belongs to is marked. */
  options: { notice?: string | undefined; at?: string } = {},
): string {
  const { notice, at = '' } = options;
  const say = sayIn(means);
  const ways: [string, string][] = [
    ['/counter', say('counter-way-requests')],
    ['/counter/day', say('counter-way-day')],
    ['/counter/week', say('counter-way-week')],
    ['/counter/trucks', say('counter-way-trucks')],
    ['/counter/waiting', say('counter-way-waiting')],
    ['/counter/shop', say('counter-way-shop')],
  ];
  return page({
    title: `${title} – ${means.flows.shop.name}`,
    language: 'en',
    skip: say('page-skip'),
    className: 'counter',
    scripts: ['/public/counter.js'],
    body: html`<header class="head">
        <p class="shop">${means.flows.shop.name}</p>
        <nav aria-label="${say('counter-ways')}">
          ${ways.map(([to, name]) => html`<a href="${to}" ${to === at ? html`aria-current="page"` : null}>${name}</a>`)}
        </nav>
        <form class="out" method="post" action="/counter/out">
          ${tokenField(session)}<span>${session.staff.name}</span>
          <button>${say('counter-sign-out')}</button>
        </form>
      </header>
      <main id="main">
        ${means.demo ? demoClock(means, session, say) : null}
        <h1>${title}</h1>
        ${notice ? html`<p class="notice" role="alert">${notice}</p>` : null} ${body}
      </main>`,
  });
}

export const tokenField = (session: Session): Html =>
  html`<input type="hidden" name="token" value="${session.formToken}" />`;

function demoClock(means: Means, session: Session, say: Say): Html {
  const days = [1, 7, 30, 90];
  return html`<form class="demo" method="post" action="/counter/demo-clock">
    ${tokenField(session)}
    <span>${say('demo-clock', { date: day(shopDay(means)) })}</span>
    ${days.map((count) => html`<button name="days" value="${count}">${say('demo-days', { count })}</button>`)}
  </form>`;
}

/** A plain page for somebody without a session. */
export function plainPage(means: Means, title: string, body: Html): string {
  return page({
    title,
    language: 'en',
    skip: sayIn(means)('page-skip'),
    className: 'plain',
    body: html`<main id="main">
      <h1>${title}</h1>
      ${body}
    </main>`,
  });
}
