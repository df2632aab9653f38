import type { DayEntry, DaySpan } from '../../../core/mod.ts';
import { html, type Html } from '../html.ts';

/** What stands in an entry of the picture, beside its time. */
export interface EntryWords {
  /** Where it leads; absent for a block. */
  link?: string;
  title: string;
  lines: string[];
  look: 'asked' | 'agreed' | 'house' | 'done' | 'block';
  /** For the script that moves it: absent where it cannot be moved. */
  move?: { revision: number; hours: number; verb: 'move' | 'offer' };
}

export interface DiaryColumn {
  title: string;
  link?: string;
  /** The column of today has the line of the present time, in minutes. */
  now?: number;
  work: DaySpan[];
  /** Bays beside each other; one in the picture of a day. */
  lanes: { id: string; name: string; entries: DayEntry[] }[];
}

const HOUR_HEIGHT = 46;
const GUTTER = 48;
const HEAD = 28;
/** Narrower than this, words stand upright in an entry, as on the back of a book. */
const UPRIGHT_BELOW = 90;
/** Narrower than this, there is no room for words at all. */
const LEAST_FOR_WORDS = 12;
const LETTER = 6.5;

/** The working hours down the side: from the first to the last that any column has, or from 8 to 17 where all are closed. */
function hoursOf(columns: readonly DiaryColumn[]): [first: number, last: number] {
  const spans = columns.flatMap(({ work, lanes }) => [...work, ...lanes.flatMap(({ entries }) => entries)]);
  if (spans.length === 0) return [8, 17];
  const first = Math.floor(Math.min(...spans.map(({ from }) => from)) / 60);
  return [first, Math.max(Math.ceil(Math.max(...spans.map(({ to }) => to)) / 60), first + 1)];
}

/**
 * Columns with the hours down the page, as in a paper diary. A table beside it says the same in words; the script of the
 * page lets a job be moved in it.
 */
export function diaryPicture(
  columns: readonly DiaryColumn[],
  columnWidth: number,
  title: string,
  wordsOf: (entry: DayEntry, lane: string) => EntryWords,
  date?: string,
): Html {
  const [first, last] = hoursOf(columns);
  const y = (minute: number) => HEAD + ((minute - first * 60) / 60) * HOUR_HEIGHT;
  const width = GUTTER + columns.length * columnWidth;
  const height = y(last * 60) + 8;
  const hours = Array.from({ length: last - first + 1 }, (_, index) => first + index).map(
    (hour) =>
      html`<line x1="${GUTTER}" y1="${y(hour * 60)}" x2="${width}" y2="${y(hour * 60)}" class="rule" /><text
          x="${GUTTER - 6}"
          y="${y(hour * 60) + 4}"
          class="hour"
          >${hourWords(hour)}</text
        >`,
  );
  const left = (index: number) => GUTTER + index * columnWidth;
  const shut = columns.map((column, index) =>
    closed(column, first, last).map(
      ({ from, to }) =>
        html`<rect
          x="${left(index)}"
          y="${y(from)}"
          width="${columnWidth}"
          height="${y(to) - y(from)}"
          class="closed"
        />`,
    ),
  );
  const drawn = columns.map((column, index) => {
    const x = left(index);
    const laneWidth = columnWidth / column.lanes.length;
    const head = html`<text x="${x + 8}" y="18" class="bay">${column.title}</text>`;
    return html`<line x1="${x}" y1="0" x2="${x}" y2="${height}" class="margin" />
      ${column.link ? html`<a href="${column.link}">${head}</a>` : head}
      ${column.now !== undefined && column.now >= first * 60 && column.now <= last * 60 ? html`<line x1="${x}" y1="${y(column.now)}" x2="${x + columnWidth}" y2="${y(column.now)}" class="now" />` : null}
      ${column.lanes.map((lane, at) => lane.entries.map((entry) => drawEntry(entry, wordsOf(entry, lane.id), lane, { x: x + at * laneWidth, width: laneWidth }, y)))}`;
  });
  const places = columns.flatMap(({ lanes }, index) =>
    lanes.map(({ id, name }, at) => ({
      id,
      name,
      x: GUTTER + index * columnWidth + (at * columnWidth) / lanes.length,
      width: columnWidth / lanes.length,
    })),
  );
  const plan = date === undefined ? null : JSON.stringify({ date, first, top: HEAD, hour: HOUR_HEIGHT, places });
  return html`<svg
    class="diary"
    role="group"
    aria-label="${title}"
    viewBox="0 0 ${width} ${height}"
    width="${width}"
    height="${height}"
    ${plan ? html`data-plan="${plan}"` : null}
  >
    ${shut}${hours}${drawn}
  </svg>`;
}

/** What of the shown hours is no working time. */
function closed({ work }: DiaryColumn, first: number, last: number): DaySpan[] {
  const gaps: DaySpan[] = [];
  let from = first * 60;
  for (const span of [...work].sort((one, other) => one.from - other.from)) {
    if (span.from > from) gaps.push({ from, to: span.from });
    from = Math.max(from, span.to);
  }
  if (from < last * 60) gaps.push({ from, to: last * 60 });
  return gaps;
}

function drawEntry(
  entry: DayEntry,
  words: EntryWords,
  lane: { id: string; name: string },
  place: { x: number; width: number },
  y: (minute: number) => number,
): Html {
  const width = place.width / entry.lanes;
  const x = place.x + entry.lane * width + (width > 60 ? 5 : 2);
  const inner = Math.max(8, width - (width > 60 ? 10 : 4));
  const [top, bottom] = [y(entry.from) + 1, y(entry.to) - 1];
  const box = html`<rect
    x="${x}"
    y="${top}"
    width="${inner}"
    height="${Math.max(bottom - top, 10)}"
    class="job ${words.look}"
  />`;
  const text = inner < UPRIGHT_BELOW ? upright(words, x, top, inner, bottom) : across(words, x, top, inner, bottom);
  if (!words.link)
    return html`<g role="img" aria-label="${words.title}"><title>${words.title}</title>${box}${text}</g>`;
  const { move } = words;
  const movable =
    move && !entry.continues
      ? html`class="movable" data-from="${entry.from}" data-minutes="${entry.to - entry.from}" data-bay="${lane.id}"
        data-request="${entry.requestId ?? ''}" data-revision="${move.revision}" data-hours="${move.hours}"
        data-verb="${move.verb}" data-truck="${words.lines[0] ?? ''}"`
      : null;
  return html`<a href="${words.link}" ${inner < LEAST_FOR_WORDS ? html`aria-label="${words.title}"` : null} ${movable}
    >${box}${text}</a
  >`;
}

const across = (words: EntryWords, x: number, top: number, width: number, bottom: number): Html[] =>
  words.lines
    .slice(0, Math.max(1, Math.floor((bottom - top - 4) / 17)))
    .map(
      (text, index) =>
        html`<text x="${x + 7}" y="${top + 17 + index * 17}" class="${index === 0 ? 'first' : ''}"
          >${cut(text, width - 12)}</text
        >`,
    );

function upright(words: EntryWords, x: number, top: number, width: number, bottom: number): Html {
  if (width < LEAST_FOR_WORDS) return html``;
  const [at, down] = [x + width / 2 - 4, top + 6];
  return html`<text transform="translate(${at} ${down}) rotate(90)" class="first"
    >${cut(spine(words), bottom - top - 10)}</text
  >`;
}

/** Where there is little room, whose truck it is comes first: that is how a shop calls it. */
function spine({ lines, link }: EntryWords): string {
  const [truck, owner, ...rest] = lines;
  return (link ? [owner, truck, ...rest] : lines).filter(Boolean).join(', ');
}

const cut = (text: string, width: number): string => {
  const most = Math.max(3, Math.floor(width / LETTER));
  return text.length <= most ? text : `${text.slice(0, most - 1)}…`;
};

const hourWords = (hour: number): string => `${((hour + 11) % 12) + 1} ${hour % 24 < 12 ? 'AM' : 'PM'}`;
