import { html } from '../html.ts';
import { page } from '../page.ts';
import type { TalkLine } from '../../store/types.ts';
import { sheetLines, type SheetWords } from './sheet.ts';

/** The owner's chat page: a running service sheet, with a field to write in at its foot. Works without a script, too. */
export function chatPage(
  lines: readonly TalkLine[],
  words: SheetWords,
  shop: { name: string; phone: string },
  notice?: string,
  /** Present where the page's script is to open the chat, with what a link or QR code carried. */
  open?: { start: string | undefined },
): string {
  const { texts, language } = words;
  const say = (id: string, values: Record<string, string> = {}) => texts.say(language, id, values);
  const body = html`<header class="head">
      <h1>${shop.name}</h1>
      <p>${say('page-sheet-title')}</p>
      <p><a href="tel:${shop.phone.replace(/[^\d+]/g, '')}">${shop.phone}</a></p>
    </header>
    <main id="main">
      ${notice ? html`<p class="notice" role="alert">${notice}</p>` : null}
      <div role="log" aria-live="polite" aria-label="${say('page-talk')}">
        <ol id="sheet" class="sheet" ${open ? html`data-open="${open.start ?? ''}"` : null}>
          ${sheetLines(lines, words)}
        </ol>
      </div>
      <form id="write" class="write" method="post" action="/chat/send" enctype="multipart/form-data">
        <label for="text">${say('page-write')}</label>
        <textarea id="text" name="text" rows="2" maxlength="4000" autocomplete="off"></textarea>
        <div class="row">
          <label class="photo" for="photo">${say('page-add-photo')}</label>
          <input id="photo" type="file" name="photo" accept="image/*" multiple />
          <button type="submit">${say('page-send')}</button>
        </div>
        <p id="status" class="status" role="status" data-offline="${say('page-offline')}"></p>
      </form>
      <p class="small">${say('page-privacy', { phone: shop.phone })}</p>
    </main>`;
  return page({
    title: `${shop.name} – ${say('page-sheet-title')}`,
    language,
    body,
    scripts: ['/public/chat.js'],
    className: 'chat',
    ...(open && {
      withoutScript: html`<meta
        http-equiv="refresh"
        content="0; url=/?zone=unknown${open.start ? `&start=${open.start}` : ''}"
      />`,
    }),
    skip: say('page-skip'),
  });
}
