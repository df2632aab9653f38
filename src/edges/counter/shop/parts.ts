import { html, type Html } from '../html.ts';

/** A headed part of a page with its entries, or what stands there where it has none. */
export const section = (title: string, entries: Html[], nothing: string): Html =>
  html`<section class="list">
    <h2>${title}</h2>
    ${
      entries.length > 0
        ? html`<ul>
            ${entries}
          </ul>`
        : html`<p class="small">${nothing}</p>`
    }
  </section>`;

/** An entry on the rule: when, or where, in the margin; the rest beside it. */
export const ticket = (margin: Html, content: Html): Html =>
  html`<li class="ticket">
    <div class="margin">${margin}</div>
    <div>${content}</div>
  </li>`;

/** A line of a work sheet: its name in the margin. */
export const line = (label: string, content: Html): Html =>
  html`<section class="line">
    <h2>${label}</h2>
    <div>${content}</div>
  </section>`;

/** A region that scrolls sideways by itself where it is too wide, within the keyboard's reach. */
export const scroll = (label: string, content: Html): Html =>
  html`<div class="scroll" tabindex="0" role="region" aria-label="${label}">${content}</div>`;
