/** A number in the message, as it was said; what it counts is not decided here. */
export interface NumberMention {
  /** First and last piece, both inclusive; words such as "and change" belong to it. */
  first: number;
  last: number;
  value: number;
  /** Typed with digits; false where any of it was in words. */
  digits: boolean;
  /** "thousand", "k", "mil" or "million" was said. */
  scaled: boolean;
  /** Thousands are set apart: "104,312", "143.200", "84 212". */
  grouped: 'no' | 'mark' | 'space' | 'wrong';
  /** Digits after the decimal point. */
  decimals: number;
  /** How many digits were typed before the point; 0 for words. */
  length: number;
  leadingZero: boolean;
  /** A year said in two parts: "twenty fourteen", "2k17". */
  year?: number;
  /** A whole and a tenth said one after the other: "six seven", "98 4". */
  pair?: { whole: number; tenth: number };
  /** "and change", "y feria". */
  change: boolean;
  /** "87 something". */
  something: boolean;
  /** Letters typed for digits. */
  letters?: 'o' | 'other';
  /** Thousands left unspoken between two spoken groups ("one twelve four fifty"), or "thousand" written as digits. */
  loose: boolean;
  /** The middle of a range such as "140 to 145k". */
  range?: boolean;
}

/** A number in words, until more is known of it. */
export const plain = (first: number, last: number, value: number): NumberMention => ({
  first,
  last,
  value,
  digits: false,
  scaled: false,
  grouped: 'no',
  decimals: 0,
  length: 0,
  leadingZero: false,
  change: false,
  something: false,
  loose: false,
});

/** A part of a number while it is read. `next` is the piece after it. */
export interface Part {
  next: number;
  value: number;
  digits: boolean;
  mention?: Partial<NumberMention>;
  /** Made of single spoken digits. */
  tenth?: number;
}
