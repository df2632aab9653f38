import { randomFor } from './random.ts';

const withCommas = (miles: number): string => miles.toLocaleString('en-US');
const inThousands = (miles: number): string => String(Math.round(miles / 100) / 10);

/** How an owner types an odometer value: exact ones as they stand, round ones as people say them. */
export function readingWords(miles: number, ...name: (string | number)[]): string {
  const random = randomFor(...name, 'words');
  const digits = String(miles);
  const forms: (readonly [string, number])[] = [
    [digits, 4],
    [withCommas(miles), 3],
    [`it says ${digits}`, 1],
    [`${withCommas(miles)} miles`, 1],
  ];
  if (miles % 1000 === 0 && miles >= 10_000) {
    forms.push([`${miles / 1000}k`, 3], [`about ${withCommas(miles)}`, 2]);
  } else if (miles % 100 === 0 && miles >= 10_000) {
    forms.push([`about ${withCommas(miles)}`, 2], [`${inThousands(miles)}k`, 1]);
  }
  return random.pick(forms);
}

/** What an owner writes first: the truck, its year, the odometer and the wish. */
export function firstWords(
  truck: { modelYear: number; miles: number; milesPerYear: number | undefined },
  ...name: (string | number)[]
): string {
  const random = randomFor(...name, 'first words');
  const miles = readingWords(truck.miles, ...name, 'first');
  const words = random.pick([
    [`I have a ${truck.modelYear} pickup with the 6.7 L V8 diesel, ${miles} on it. Is the fuel filter due?`, 3],
    [`${truck.modelYear} 6.7 V8 diesel, odometer ${miles}, want to know about the fuel filter`, 2],
    [`hi, ${truck.modelYear} truck, 6.7 diesel v8. ${miles}. when should I do the fuel filter`, 2],
  ]);
  return truck.milesPerYear === undefined
    ? words
    : `${words}. I drive about ${withCommas(truck.milesPerYear)} miles a year.`;
}
