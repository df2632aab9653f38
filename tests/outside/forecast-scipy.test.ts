import { describe, expect, it } from 'vitest';
import { forecast } from '../../src/core/follow-up/forecast.ts';

/**
 * Whole forecasts with the default constants, the prior, the season clock and the calendar, against a second program:
 * written from the formulas in another language on SciPy 1.17.1 (scipy.special.betainc, scipy.optimize.brentq), with
 * dates found by walking day by day.
 */
const WORKED = [
  {
    name: 'a steady truck whose owner stated the mileage',
    request: {
      readings: [
        { date: '2025-11-01', miles: 90000 },
        { date: '2026-02-01', miles: 93500 },
        { date: '2026-05-02', miles: 97000 },
      ],
      today: '2026-06-01',
      dueMiles: 101000,
      modelYear: 2017,
      milesPerYear: 15000,
    },
    miles: [97694.388, 98239.584, 99095.857],
    due: ['2026-07-01', '2026-08-02', '2026-09-26'],
    probabilityDue: 0.002734170874659103,
  },
  {
    name: 'the same without it',
    request: {
      readings: [
        { date: '2025-11-01', miles: 90000 },
        { date: '2026-02-01', miles: 93500 },
        { date: '2026-05-02', miles: 97000 },
      ],
      today: '2026-06-01',
      dueMiles: 101000,
      modelYear: 2017,
    },
    miles: [97668.405, 98198.847, 99043.468],
    due: ['2026-07-02', '2026-08-06', '2026-10-03'],
    probabilityDue: 0.002472007174362356,
  },
  {
    name: 'one reading over the turn of the year, nothing else known',
    request: { readings: [{ date: '2026-12-20', miles: 143210 }], today: '2027-02-10', dueMiles: 150000 },
    miles: [144143.926, 145035.45, 146978.687],
    due: ['2027-03-25', '2027-06-08', '2027-09-11'],
    probabilityDue: 0.013472912730466469,
  },
  {
    name: 'a hauler over the end of a leap year',
    request: {
      readings: [
        { date: '2024-01-10', miles: 210000 },
        { date: '2024-02-20', miles: 214900 },
        { date: '2024-02-29', miles: 215600 },
        { date: '2024-12-31', miles: 246000 },
        { date: '2025-01-15', miles: 247300 },
      ],
      today: '2025-03-30',
      dueMiles: 257000,
      modelYear: 2012,
      milesPerYear: 40000,
    },
    miles: [250959.435, 253107.071, 256255.047],
    due: ['2025-04-06', '2025-05-14', '2025-07-11'],
    probabilityDue: 0.06620728801662024,
  },
  {
    name: 'a truck whose habit changed',
    request: {
      readings: [
        { date: '2026-03-01', miles: 61000 },
        { date: '2026-07-01', miles: 66400 },
        { date: '2026-10-01', miles: 66900 },
      ],
      today: '2027-01-15',
      dueMiles: 75000,
      modelYear: 2019,
    },
    miles: [68136.674, 68853.541, 69933.659],
    due: ['2027-06-22', '2027-11-30', '2028-09-07'],
    probabilityDue: 0.0008396736511006031,
  },
];

describe('a whole forecast agrees with the second program for', () => {
  it.each(WORKED)('$name', ({ request, miles, due, probabilityDue }) => {
    const answer = forecast(request);
    expect(answer.rejected).toEqual([]);
    expect(Object.values(answer.milesToday)).toEqual(miles.map(Math.round));
    expect(Object.values(answer.dueDate)).toEqual(due);
    expect(answer.probabilityDue).toBeCloseTo(probabilityDue, 11);
  });
});
