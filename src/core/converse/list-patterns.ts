/** What names one truck of a fleet in a text, and what gives its odometer beside it; both with the unit as first group. */
export interface FleetPatterns {
  named: RegExp;
  entry: RegExp;
}

const any = (words: readonly string[]): string =>
  `(?:${words.map((word) => word.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')).join('|')})`;

/** "1 and 3", "only 2": nothing but the numbers of some items, with the words that may stand about them. */
export const itemPattern = ({ leads, joins }: { leads: readonly string[]; joins: readonly string[] }): RegExp =>
  new RegExp(`^(?:${any(leads)}[\\s,]+)*\\d{1,2}(?:\\s*(?:${any(joins)}|\\s)\\s*\\d{1,2})*\\.?$`, 'iu');

/** "unit 4 is 120,300": a word for a unit, its number or name, and its miles. */
export function fleetPatterns(words: {
  units: readonly string[];
  verbs: readonly string[];
  miles: readonly string[];
}): FleetPatterns {
  const unit = `(?<![\\p{L}\\p{N}])${any(words.units)}\\s*#?\\s*([a-z0-9-]{1,12})(?![\\p{L}\\p{N}])`;
  const miles = `\\s*[:=,–-]?\\s*(?:${any(words.verbs)}\\s+)*(\\d+(?:[.,]\\d+)*\\s*k?)(?:\\s*${any(words.miles)})?(?![\\p{L}\\p{N}])`;
  return { named: new RegExp(unit, 'giu'), entry: new RegExp(unit + miles, 'giu') };
}
