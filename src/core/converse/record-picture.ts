/** What a picture of a service record says, in the owner's language. */
export interface RecordWords {
  shop: string;
  /** Truck, day and odometer. */
  head: string;
  /** What was done and found, a line each. */
  lines: readonly string[];
  /** When and at which mileage the next service falls due. */
  next?: string;
}

const WIDTH = 720;
const MARGIN = 96;
const ROW = 30;
const LETTERS = 62;
const INK = '#1b1a17';

/** A service record as a ruled sheet with a margin, to be kept or shown: SVG, black on warm white, one accent. */
export function recordPicture({ shop, head, lines, next }: RecordWords): string {
  const rows = [...wrapped(head), ...lines.flatMap(wrapped), ...(next === undefined ? [] : wrapped(next))];
  const bold = new Set([...wrapped(head).keys(), ...(next === undefined ? [] : [rows.length - 1])]);
  const height = 64 + rows.length * ROW + 24;
  const drawn = rows.map((row, index) => {
    const y = 64 + (index + 1) * ROW;
    return (
      `<line x1="0" y1="${y}" x2="${WIDTH}" y2="${y}" stroke="#d8d1bf"/>` +
      `<text x="${MARGIN + 14}" y="${y - 8}"${bold.has(index) ? ' font-weight="600"' : ''}>${escaped(row)}</text>`
    );
  });
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${WIDTH} ${height}" width="${WIDTH}" height="${height}" ` +
    `role="img" font-family="'DejaVu Serif', Georgia, serif" font-size="17" fill="${INK}">` +
    `<title>${escaped(head)}</title><rect width="${WIDTH}" height="${height}" fill="#fbf8f1"/>` +
    `<text x="16" y="40" font-size="22" font-weight="600">${escaped(shop)}</text>` +
    `<line x1="0" y1="58" x2="${WIDTH}" y2="58" stroke="${INK}" stroke-width="2"/>` +
    `<line x1="${MARGIN}" y1="58" x2="${MARGIN}" y2="${height}" stroke="#8a3b12" stroke-width="2"/>` +
    `${drawn.join('')}</svg>`
  );
}

/** A line in rows of so many letters, broken between words. */
function wrapped(line: string): string[] {
  const rows: string[] = [];
  for (const word of line.split(/\s+/).filter((part) => part !== '')) {
    const last = rows.at(-1);
    if (last !== undefined && last.length + word.length < LETTERS) rows[rows.length - 1] = `${last} ${word}`;
    else rows.push(...(word.match(new RegExp(`.{1,${LETTERS}}`, 'gu')) ?? []));
  }
  return rows;
}

const ESCAPES: Record<string, string> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;', "'": '&#39;' };
/** Characters that XML knows no place for are left out. */
const escaped = (text: string): string =>
  // eslint-disable-next-line no-control-regex -- these are the ones that XML 1.0 forbids
  text.replace(/[\u0000-\u0008\u000b\u000c\u000e-\u001f]/g, '').replace(/[&<>"']/g, (sign) => ESCAPES[sign] ?? '');
