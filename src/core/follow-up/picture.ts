import type { ForecastRequest } from '../model/forecast.ts';
import type { IsoDate } from '../model/time.ts';
import { dateOfDay, dayNumber } from './days.ts';
import { believed } from './forecast.ts';
import { seasonDaysTo } from './pace.ts';
import { PARAMETERS, type Parameters } from './parameters.ts';
import { milesQuantile } from './predict.ts';

/** What the owner's picture shows: the readings, and the odometer to come at 10, 50 and 90 %. */
export interface ForecastCurve {
  readings: { date: IsoDate; miles: number }[];
  /** From the last reading on; empty without a reading. */
  band: { date: IsoDate; p10: number; p50: number; p90: number }[];
  today: IsoDate;
  dueMiles: number;
}

/** The words of the picture, in the owner's language. */
export interface PictureWords {
  /** A short name, such as "Odometer of the 2017 6.7 L V8". */
  title: string;
  /** What the picture shows, said in words, for those who do not see it. */
  description: string;
  /** Beside the due line, such as "filter due at 119,000". */
  due: string;
  today: string;
  /** How a number of miles, and a day at the edge, are written. */
  miles: (miles: number) => string;
  day: (date: IsoDate) => string;
}

const STEPS = 24;

/** The curve of one truck's forecast up to the day by which it is due with 90 %, two years at most. */
export function forecastCurve(request: ForecastRequest, parameters: Parameters = PARAMETERS): ForecastCurve {
  const { pace, kept, dueMiles } = believed(request, parameters);
  const now = dayNumber(request.today);
  if (!pace) return { readings: [], band: [], today: request.today, dueMiles };
  const far = now + 730;
  let last = Math.max(now, pace.day) + 30;
  while (last < far && pace.odometer + milesQuantile(pace, seasonDaysTo(pace, last), 0.1) < dueMiles) last += 30;
  const band = Array.from({ length: STEPS + 1 }, (_, step) => {
    const day = Math.round(pace.day + (step / STEPS) * (last - pace.day));
    const at = (probability: number) =>
      Math.round(pace.odometer + milesQuantile(pace, seasonDaysTo(pace, day), probability));
    return { date: dateOfDay(day), p10: at(0.1), p50: at(0.5), p90: at(0.9) };
  });
  return { readings: kept, band, today: request.today, dueMiles };
}

// Small enough that its words can still be read where a phone of 320 pixels draws it at three quarters.
const WIDTH = 420;
const HEIGHT = 280;
const LEFT = 72;
const RIGHT = 16;
const TOP = 30;
const BOTTOM = 40;

const INK = '#1b1a17';
const PAPER = '#fbf8f1';
const BAND = '#efe8d8';
const RULE = '#d8d1bf';
const ACCENT = '#8a3b12';

/**
 * The forecast as a picture: readings as dots, the median as a line, the 80 % band about it, and the due mark in the one
 * accent. SVG with a title and a description; black on warm white.
 */
export function forecastPicture(curve: ForecastCurve, words: PictureWords): string {
  const dates = [...curve.readings, ...curve.band].map(({ date }) => dayNumber(date));
  const miles = [
    curve.dueMiles,
    ...curve.readings.map((reading) => reading.miles),
    ...curve.band.flatMap(({ p10, p90 }) => [p10, p90]),
  ];
  const firstDay = Math.min(dayNumber(curve.today), ...dates);
  const lastDay = Math.max(dayNumber(curve.today) + 30, ...dates);
  const step = roundStep((Math.max(...miles) - Math.min(...miles)) / 4);
  const low = Math.floor(Math.min(...miles) / step) * step;
  const high = Math.ceil((Math.max(...miles) + step / 4) / step) * step;
  const x = (date: IsoDate) =>
    place(LEFT + ((dayNumber(date) - firstDay) / (lastDay - firstDay)) * (WIDTH - LEFT - RIGHT));
  const y = (value: number) => place(HEIGHT - BOTTOM - ((value - low) / (high - low)) * (HEIGHT - TOP - BOTTOM));

  const levels = Array.from({ length: Math.round((high - low) / step) + 1 }, (_, index) => low + index * step);
  const grid = levels.map(
    (level) =>
      `<line x1="${LEFT}" y1="${y(level)}" x2="${WIDTH - RIGHT}" y2="${y(level)}" stroke="${RULE}"/>` +
      `<text x="${LEFT - 8}" y="${y(level) + 5}" text-anchor="end">${escape(words.miles(level))}</text>`,
  );
  const points = (list: readonly (readonly [IsoDate, number])[]) =>
    list.map(([date, value]) => `${x(date)},${y(value)}`).join(' ');
  const upper = curve.band.map(({ date, p90 }) => [date, p90] as const);
  const lower = curve.band.map(({ date, p10 }) => [date, p10] as const).reverse();
  const band = curve.band.length > 0 ? `<polygon points="${points([...upper, ...lower])}" fill="${BAND}"/>` : '';
  const median = curve.band.map(({ date, p50 }) => [date, p50] as const);
  const line = (list: readonly (readonly [IsoDate, number])[], dash: string) =>
    list.length > 1 ? `<polyline points="${points(list)}" fill="none" stroke="${INK}" stroke-width="2"${dash}/>` : '';
  const dots = curve.readings.map(
    (reading) => `<circle cx="${x(reading.date)}" cy="${y(reading.miles)}" r="4" fill="${INK}"/>`,
  );
  const due = y(curve.dueMiles);
  const now = x(curve.today);
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${WIDTH} ${HEIGHT}" width="${WIDTH}" height="${HEIGHT}"`,
    ` role="img" aria-labelledby="picture-title picture-description"`,
    ` font-family="Georgia, 'Liberation Serif', serif" font-size="16" fill="${INK}">`,
    `<title id="picture-title">${escape(words.title)}</title>`,
    `<desc id="picture-description">${escape(words.description)}</desc>`,
    `<rect width="${WIDTH}" height="${HEIGHT}" fill="${PAPER}"/>`,
    ...grid,
    band,
    `<line x1="${now}" y1="${TOP}" x2="${now}" y2="${HEIGHT - BOTTOM}" stroke="${INK}" stroke-dasharray="2 4"/>`,
    `<text x="${now}" y="${TOP - 8}" text-anchor="middle">${escape(words.today)}</text>`,
    line(median, ' stroke-dasharray="7 4"'),
    line(
      curve.readings.map((reading) => [reading.date, reading.miles] as const),
      '',
    ),
    ...dots,
    `<line x1="${LEFT}" y1="${due}" x2="${WIDTH - RIGHT}" y2="${due}" stroke="${ACCENT}" stroke-width="2"/>`,
    `<text x="${LEFT + 8}" y="${place(due - 7)}" fill="${ACCENT}">${escape(words.due)}</text>`,
    `<text x="${LEFT}" y="${HEIGHT - 14}">${escape(words.day(dateOfDay(firstDay)))}</text>`,
    `<text x="${WIDTH - RIGHT}" y="${HEIGHT - 14}" text-anchor="end">${escape(words.day(dateOfDay(lastDay)))}</text>`,
    '</svg>',
  ].join('');
}

const place = (value: number): number => Math.round(value * 10) / 10;

/** The next of 1, 2 and 5 times a power of ten. */
function roundStep(rough: number): number {
  const power = 10 ** Math.floor(Math.log10(Math.max(1, rough)));
  const factor = [1, 2, 5, 10].find((one) => one * power >= rough) ?? 10;
  return factor * power;
}

const ENTITIES: Record<string, string> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;', "'": '&#39;' };
const escape = (text: string): string => text.replace(/[&<>"']/g, (sign) => ENTITIES[sign] ?? sign);
