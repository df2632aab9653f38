import type { ComparedRow, Comparison } from './compare.ts';
import type { Measured } from './statistics.ts';

const WIDTH = 760;
const ROW = 74;
const TOP = 84;
const LEFT = 190;
const SCALE = 420;

const INK = '#1b1a17';
const PAPER = '#fbf8f1';
const RULE = '#d8d1bf';
const ACCENT = '#8a3b12';
const HATCH = '#b9b09a';

const place = (value: number): number => Math.round(value * 10) / 10;

/** For each way to remind two bars with their standard errors: services near their mark, and services far past it. */
export function comparisonPicture(rows: readonly ComparedRow[], asked: Comparison): string {
  const height = TOP + rows.length * ROW + 40;
  const title = 'Services within 1,000 miles of due, and more than 1,500 miles late';
  const said = rows.map(
    ({ name, within, late, messages }) =>
      `${name}: ${(100 * within.value).toFixed(1)} % within, ${(100 * late.value).toFixed(1)} % late, ` +
      `${messages.value.toFixed(2)} messages a vehicle-year`,
  );
  const grid = [0, 25, 50, 75, 100].map((percent) => {
    const x = place(LEFT + (percent / 100) * SCALE);
    return (
      `<line x1="${x}" y1="${TOP - 10}" x2="${x}" y2="${height - 40}" stroke="${RULE}"/>` +
      `<text x="${x}" y="${height - 20}" text-anchor="middle" font-size="12">${percent} %</text>`
    );
  });
  const bars = rows.map(({ name, within, late, messages }, index) => {
    const y = TOP + index * ROW;
    return (
      `<text x="${LEFT - 12}" y="${y + 18}" text-anchor="end" font-weight="${index === 0 ? 'bold' : 'normal'}">${name}</text>` +
      `<text x="${LEFT - 12}" y="${y + 38}" text-anchor="end" font-size="12">${messages.value.toFixed(2)} messages a year</text>` +
      bar(within, y, index === 0 ? ACCENT : INK) +
      bar(late, y + 26, HATCH)
    );
  });
  const { vehicles, years, seed, world, offers } = asked;
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${WIDTH} ${height}" width="${WIDTH}" height="${height}"`,
    ` role="img" aria-labelledby="t d" font-family="Georgia, 'Liberation Serif', serif" font-size="14" fill="${INK}">`,
    `<title id="t">${title}</title><desc id="d">${said.join('; ')}</desc>`,
    `<rect width="${WIDTH}" height="${height}" fill="${PAPER}"/>`,
    `<text x="20" y="28" font-size="17">${title}</text>`,
    `<text x="20" y="50" font-size="12">${vehicles} made-up vehicles, ${years} years, seed ${seed}, ${world} world, `,
    `offers ${offers}; dark: within, light: late; whiskers: two standard errors</text>`,
    ...grid,
    ...bars,
    '</svg>',
  ].join('');
}

function bar({ value, standardError }: Measured, y: number, colour: string): string {
  const end = LEFT + value * SCALE;
  const [low, high] = [end - 2 * standardError * SCALE, end + 2 * standardError * SCALE].map(place);
  return (
    `<rect x="${LEFT}" y="${y}" width="${place(value * SCALE)}" height="22" fill="${colour}"/>` +
    `<line x1="${low}" y1="${y + 11}" x2="${high}" y2="${y + 11}" stroke="${INK}" stroke-width="2"/>` +
    `<text x="${place(end + 2 * standardError * SCALE + 8)}" y="${y + 16}">${(100 * value).toFixed(1)} %</text>`
  );
}
