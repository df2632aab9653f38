import { describe, expect, it } from 'vitest';
import { forecastCurve, forecastPicture } from '../../../src/core/follow-up/picture.ts';

const request = {
  readings: [
    { date: '2025-11-01', miles: 90_000 },
    { date: '2026-02-01', miles: 93_500 },
    { date: '2026-05-02', miles: 97_000 },
  ],
  today: '2026-06-01',
  dueMiles: 101_000,
  modelYear: 2017,
};
const words = {
  title: 'Odometer of the 6.7 L V8 <diesel>',
  description: 'Due at about 101,000 miles, between July and September.',
  due: 'filter due at 101,000',
  today: 'today',
  miles: (miles: number) => miles.toLocaleString('en-US'),
  day: (date: string) => date,
};

/** Every x,y pair that the picture draws through. */
const drawn = (svg: string): [number, number][] =>
  [...svg.matchAll(/points="([^"]+)"/g)].flatMap(([, list = '']) =>
    list.split(' ').map((pair) => pair.split(',').map(Number) as [number, number]),
  );

describe('the owner’s picture', () => {
  it('widens its band from the last reading on and ends when the truck is as good as due', () => {
    const { band, readings } = forecastCurve(request);
    expect(readings).toHaveLength(3);
    expect(band[0]).toEqual({ date: '2026-05-02', p10: 97_000, p50: 97_000, p90: 97_000 });
    const widths = band.map(({ p10, p90 }) => p90 - p10);
    expect(widths).toEqual([...widths].sort((one, other) => one - other));
    expect(band.at(-1)?.p10).toBeGreaterThan(100_000);
  });

  it('is one drawing with a title and a description for those who do not see it, and escapes its words', () => {
    const svg = forecastPicture(forecastCurve(request), words);
    expect(svg).toMatch(/^<svg [^>]*role="img" aria-labelledby="picture-title picture-description"/);
    expect(svg).toContain('<title id="picture-title">Odometer of the 6.7 L V8 &lt;diesel&gt;</title>');
    expect(svg).toContain('<desc id="picture-description">Due at about 101,000 miles');
    expect(svg.match(/<circle/g)).toHaveLength(3);
    expect(svg).not.toMatch(/NaN|Infinity|undefined/);
  });

  it('draws everything inside its frame, with later to the right and more miles higher', () => {
    const svg = forecastPicture(forecastCurve(request), words);
    for (const [x, y] of drawn(svg)) {
      expect(x).toBeGreaterThanOrEqual(0);
      expect(x).toBeLessThanOrEqual(640);
      expect(y).toBeGreaterThanOrEqual(0);
      expect(y).toBeLessThanOrEqual(360);
    }
    const circles = [...svg.matchAll(/<circle cx="([\d.]+)" cy="([\d.]+)"/g)].map(([, x, y]) => [Number(x), Number(y)]);
    expect(circles.map(([x]) => x)).toEqual([...circles.map(([x]) => x)].sort((a = 0, b = 0) => a - b));
    expect(circles.map(([, y]) => y)).toEqual([...circles.map(([, y]) => y)].sort((a = 0, b = 0) => b - a));
  });

  it.each([
    ['no reading', { ...request, readings: [] }],
    ['one reading of today', { ...request, readings: [{ date: '2026-06-01', miles: 97_000 }] }],
    ['a mark long passed', { ...request, dueMiles: 60_000 }],
    ['a mark far out of sight', { ...request, dueMiles: 400_000 }],
  ])('draws %s too', (_case, unusual) => {
    const svg = forecastPicture(forecastCurve(unusual), words);
    expect(svg).not.toMatch(/NaN|Infinity|undefined/);
    expect(svg).toContain('filter due at');
  });
});
