import { DateTime } from 'luxon';
import type { Texts } from '../../../core/mod.ts';
import type { TalkLine } from '../../store/types.ts';
import { html, type Html } from '../html.ts';

export interface SheetWords {
  texts: Texts;
  language: 'en' | 'es';
  zone: string;
}

/**
 * The lines of a conversation as entries of a work sheet: time and initials in the margin, the words on the rule. A tap
 * is shown by the words that stood on its button.
 */
export function sheetLines(lines: readonly TalkLine[], words: SheetWords): Html {
  const open = lines.findLastIndex((line) => line.from === 'shop' && line.buttons.length > 0);
  const answered = lines.findLastIndex((line) => line.from === 'owner');
  const labels = new Map(lines.flatMap(({ buttons }) => buttons.map(({ data, label }) => [data, label] as const)));
  return html`${lines.map((line, index) =>
    entry(
      line.from === 'owner' ? { ...line, text: labels.get(line.text) ?? line.text } : line,
      words,
      index === open && index > answered,
    ),
  )}`;
}

function entry(line: TalkLine, { texts, language, zone }: SheetWords, withButtons: boolean): Html {
  const at = DateTime.fromISO(line.at, { zone }).setLocale(language === 'es' ? 'es-US' : 'en-US');
  const who = texts.say(language, line.from === 'owner' ? 'page-initials-owner' : 'page-initials-shop');
  const whole = texts.say(language, line.from === 'owner' ? 'page-who-owner' : 'page-who-shop');
  const pictures = line.photos.map(
    (id) =>
      html`<a href="/chat/picture/${id}"
        ><img src="/chat/picture/${id}" alt="${texts.say(language, 'page-photo')}"
      /></a>`,
  );
  const isPicture = line.attachment?.mediaType.startsWith('image/') ?? false;
  const attachment = line.attachment
    ? html`${isPicture ? html`<p class="drawing"><img src="/chat/file/${line.id}" alt="" /></p>` : null}
        <p>
          <a class="file" href="/chat/file/${line.id}" download="${line.attachment.name}"
            >${texts.say(language, 'page-file', { name: line.attachment.name })}</a
          >
        </p>`
    : null;
  return html`<li class="entry ${line.from}" id="line-${line.position}" data-position="${line.position}">
    <div class="margin">
      <time datetime="${line.at}">${at.toLocaleString(DateTime.TIME_SIMPLE)}</time>
      <abbr title="${whole}">${who}</abbr>
    </div>
    <div class="words">
      ${paragraphs(line.text)} ${pictures.length > 0 ? html`<p class="pictures">${pictures}</p>` : null} ${attachment}
      ${withButtons ? choices(line, texts.say(language, 'page-choices')) : null}
    </div>
  </li>`;
}

const paragraphs = (text: string): Html[] =>
  text
    .split(/\n{2,}/)
    .filter((part) => part !== '')
    .map((part) => html`<p>${part.split('\n').map((row, index) => (index === 0 ? row : html`<br />${row}`))}</p>`);

function choices(line: TalkLine, label: string): Html {
  return html`<form class="choices" method="post" action="/chat/press" aria-label="${label}">
    ${line.buttons.map((button) => html`<button name="data" value="${button.data}">${button.label}</button>`)}
  </form>`;
}
