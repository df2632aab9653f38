import type { Day } from './calendar.ts';
import { cueAt, isOneOf, type Found, type Scan } from './cues.ts';
import type { DayMention } from './day-pairs.ts';
import type { HolidayRule } from './holidays.ts';
import type { ValuesLexicon } from './lexicon.ts';
import { findNumbers, type NumberMention } from './numbers.ts';

/** A message that is read for days: what its words say of weekdays, months, days of the month and counts. */
export class DayText {
  readonly scan: Scan;
  /** The day of the message. */
  readonly now: Day;
  readonly #lexicon: ValuesLexicon;
  readonly #numbers: Map<number, NumberMention>;

  constructor(scan: Scan, lexicon: ValuesLexicon, now: Day) {
    this.scan = scan;
    this.now = now;
    this.#lexicon = lexicon;
    this.#numbers = new Map(findNumbers(scan, lexicon, new Set()).map((mention) => [mention.first, mention]));
  }

  /** 1 for Monday to 7 for Sunday. */
  weekday(index: number): number | undefined {
    const word = this.scan.words[index] ?? '';
    const { language } = this.scan;
    const own = this.#lexicon.words[language].weekdays.get(word);
    return own ?? this.#lexicon.words[language === 'en' ? 'es' : 'en'].weekdays.get(word);
  }

  /** 1 for January to 12. */
  month(index: number): number | undefined {
    const word = this.scan.words[index] ?? '';
    return this.#lexicon.words.en.months.get(word) ?? this.#lexicon.words.es.months.get(word);
  }

  /** A number from 1 to 31, or its ordinal word, with its suffix. */
  date(index: number): { value: number; last: number; ordinal: boolean } | undefined {
    const { words, pieces, language } = this.scan;
    const word = words[index] ?? '';
    const ordinals = this.#lexicon.words[language].ordinals;
    const ordinal = ordinals.get(word);
    if (ordinal !== undefined) return { value: ordinal, last: index, ordinal: true };
    const number = this.#numbers.get(index);
    if (number && !number.digits && [20, 30].includes(number.value)) {
      // "twenty first"
      const at = words[number.last + 1] === '-' ? number.last + 2 : number.last + 1;
      const unit = ordinals.get(words[at] ?? '');
      if (unit !== undefined && unit < 10) return { value: number.value + unit, last: at, ordinal: true };
    }
    const piece = pieces[index];
    const typed = piece?.kind === 'number' && piece.text.length <= 2 ? Number(piece.text) : undefined;
    const value = typed ?? (number && !number.digits && !number.scaled ? number.value : undefined);
    if (value === undefined || value < 1 || value > 31 || !Number.isInteger(value)) return undefined;
    const end = typed === undefined ? (number as NumberMention).last : index;
    const suffix = pieces[end + 1];
    if (suffix && !suffix.spaced && isOneOf(this.scan, end + 1, 'ordinalEndings'))
      return { value, last: end + 1, ordinal: true };
    return { value, last: end, ordinal: false };
  }

  /** The rule of the holiday that a cue names; a hyphen between two words of a name is as good as a space. */
  holidayNamed({ first, last }: Found): HolidayRule | undefined {
    const words = this.scan.words.slice(first, last + 1).filter((word) => word !== '-');
    return this.#lexicon.holidays.get(words.join(' '));
  }

  /** How many days or weeks: "a couple of", "two", "3"; `next` is the piece after it. */
  count(index: number): { value: number; next: number; vague: boolean } | undefined {
    if (isOneOf(this.scan, index, 'couple')) {
      const of = isOneOf(this.scan, index + 1, 'ofWhat') ? 1 : 0;
      return { value: 2, next: index + 1 + of, vague: true };
    }
    if (isOneOf(this.scan, index, 'oneWeek') && cueAt(this.scan, index + 1, 'week'))
      return { value: 1, next: index + 1, vague: false };
    const number = this.#numbers.get(index);
    if (!number || number.value < 1 || number.value > 60 || !Number.isInteger(number.value)) return undefined;
    return { value: number.value, next: number.last + 1, vague: false };
  }
}

/** A single day as a mention. */
export const oneDay = (
  kind: DayMention['kind'],
  day: Day,
  first: number,
  last: number,
  unsure = false,
): DayMention => ({
  kind,
  from: day,
  to: day,
  unsure,
  first,
  last,
});
