import { cueAt, cueEnding, isOneOf, type Scan } from './cues.ts';
import type { Numeral, ValuesLexicon } from './lexicon.ts';
import { plain, type NumberMention, type Part } from './number-mention.ts';
import { typedAt } from './typed-number.ts';

export type { NumberMention } from './number-mention.ts';

/** Finds the numbers of a message from left to right; pieces that are `taken` (codes, telephone numbers) are passed over. */
export function findNumbers(scan: Scan, lexicon: ValuesLexicon, taken: ReadonlySet<number>): NumberMention[] {
  const reader = new NumberReader(scan, lexicon, taken);
  const found: NumberMention[] = [];
  for (let at = 0; at < scan.pieces.length;) {
    const mention = taken.has(at) ? undefined : reader.readAt(at);
    if (mention) found.push(mention);
    at = mention ? mention.last + 1 : at + 1;
  }
  return found;
}

/** More digits than any mileage, code or telephone number has. */
const LONGEST_READ_OUT = 12;

/** For each piece what it is in a number. */
function numeralsOf(scan: Scan, lexicon: ValuesLexicon, taken: ReadonlySet<number>): (Numeral | undefined)[] {
  const numerals = lexicon.numerals[scan.language];
  return scan.words.map((word, index) =>
    taken.has(index) || scan.pieces[index]?.kind === 'number' ? undefined : numerals.get(word),
  );
}

class NumberReader {
  readonly #scan: Scan;
  readonly #taken: ReadonlySet<number>;
  readonly #numerals: readonly (Numeral | undefined)[];

  constructor(scan: Scan, lexicon: ValuesLexicon, taken: ReadonlySet<number>) {
    this.#scan = scan;
    this.#taken = taken;
    this.#numerals = numeralsOf(scan, lexicon, taken);
  }

  readAt(first: number): NumberMention | undefined {
    if (this.#numerals[first] === undefined && this.#scan.pieces[first]?.kind !== 'number') return undefined;
    const mention =
      this.#fractionOfMillion(first) ?? this.#digitsReadOut(first) ?? this.#yearInParts(first) ?? this.#scaled(first);
    return mention ? this.#withTail(mention) : undefined;
  }

  #numeral(index: number): Numeral | undefined {
    this.#scan.effort.steps++;
    return this.#numerals[index];
  }

  #is(index: number, ...kinds: Numeral['is'][]): boolean {
    const numeral = this.#numeral(index);
    return numeral !== undefined && kinds.includes(numeral.is);
  }

  #valueOf(index: number, ...kinds: Numeral['is'][]): number | undefined {
    const numeral = this.#numeral(index);
    return numeral && 'value' in numeral && kinds.includes(numeral.is) ? numeral.value : undefined;
  }

  /** The next piece, a hyphen passed over. */
  #after(index: number): number {
    const hyphen = this.#scan.words[index] === '-' && !this.#scan.pieces[index + 1]?.spaced;
    return hyphen ? index + 1 : index;
  }

  /** "half a million", "a quarter million", "medio millón", "un cuarto de millón". */
  #fractionOfMillion(first: number): NumberMention | undefined {
    let at = first;
    if (this.#is(at, 'one') || this.#valueOf(at, 'unit') === 1) at++;
    const share = this.#is(at, 'half') ? 0.5 : this.#is(at, 'quarter') ? 0.25 : undefined;
    if (share === undefined) return undefined;
    at = this.#after(at + 1);
    while (isOneOf(this.#scan, at, 'ofAMillion')) at++;
    if (!this.#is(at, 'million')) return undefined;
    return { ...plain(first, at, share * 1_000_000), scaled: true };
  }

  /** Single digits one after the other, at least four: "1 5 9 0 4 4", "one five nine zero four four". */
  #digitsReadOut(first: number): NumberMention | undefined {
    let text = '';
    let at = first;
    let typed = true;
    for (;;) {
      const piece = this.#scan.pieces[at];
      if (!piece || this.#taken.has(at)) break;
      if (text.length > LONGEST_READ_OUT) return undefined;
      const unit = this.#valueOf(at, 'unit');
      // The comma of the thousands, read aloud.
      if (isOneOf(this.#scan, at, 'commaReadOut') && text !== '' && this.#numeral(at + 1)) {
        at++;
        continue;
      }
      if (piece.kind === 'number' && piece.text.length === 1 && (at === first || piece.spaced || text !== '')) {
        text += piece.text;
      } else if (unit !== undefined) {
        text += String(unit);
        typed = false;
      } else break;
      at = this.#after(at + 1);
    }
    const last = this.#scan.words[at - 1] === '-' ? at - 2 : at - 1;
    if (text.length < 4 || this.#is(at, 'hundred', 'teen', 'ten')) return undefined;
    const mention = plain(first, last, Number(text));
    if (this.#is(at, 'thousand')) return { ...mention, last: at, value: mention.value * 1000, scaled: true };
    return { ...mention, digits: typed, length: text.length };
  }

  /** "twenty fourteen", "twenty oh eight", "nineteen ninety-nine", "2k17". */
  #yearInParts(first: number): NumberMention | undefined {
    const { pieces, words } = this.#scan;
    const tail = pieces[first + 2];
    if (pieces[first]?.text === '2' && words[first + 1] === 'k' && tail?.kind === 'number' && !tail.spaced) {
      const year = 2000 + Number(tail.text);
      return tail.text.length <= 2 ? { ...plain(first, first + 2, year), year } : undefined;
    }
    const century = this.#valueOf(first, 'ten', 'teen');
    if (century !== 20 && century !== 19) return undefined;
    let at = this.#after(first + 1);
    const teen = this.#valueOf(at, 'teen');
    if (teen !== undefined) return this.#year(first, at, century * 100 + teen);
    if (this.#valueOf(at, 'unit') === 0 && this.#valueOf(at + 1, 'unit') !== undefined) {
      return this.#year(first, at + 1, century * 100 + (this.#valueOf(at + 1, 'unit') ?? 0));
    }
    const ten = this.#valueOf(at, 'ten');
    if (ten === undefined) return undefined;
    at = this.#after(at + 1);
    const unit = this.#valueOf(at, 'unit');
    return unit === undefined
      ? this.#year(first, at - 1, century * 100 + ten)
      : this.#year(first, at, century * 100 + ten + unit);
  }

  #year(first: number, last: number, year: number): NumberMention | undefined {
    const hyphen = this.#scan.words[last] === '-' ? last - 1 : last;
    if (this.#is(this.#after(hyphen + 1), 'hundred', 'thousand')) return undefined;
    return { ...plain(first, hyphen, year), year };
  }

  #scaled(first: number): NumberMention | undefined {
    const head = this.#group(first) ?? this.#bareThousand(first);
    if (!head) return undefined;
    const mention: NumberMention = {
      ...plain(first, head.next - 1, head.value),
      digits: head.digits,
      ...head.mention,
    };
    if (head.tenth !== undefined) mention.pair = { whole: head.value, tenth: head.tenth };
    const at = this.#after(head.next);
    if (this.#is(at, 'million') && head.value < 10) {
      const word = this.#scan.words[at] as string;
      if (word.length > 4)
        return { ...this.#bare(mention), last: at, value: Math.round(head.value * 1e6), scaled: true };
    }
    if (this.#is(at, 'thousand') && head.value < 10_000) return this.#thousands(mention, head, at);
    return this.#looseThousands(mention, head) ?? mention;
  }

  #bare(mention: NumberMention): NumberMention {
    const { pair: _pair, year: _year, ...rest } = mention;
    return rest;
  }

  /** A Spanish "mil" stands for one thousand without a number before it. */
  #bareThousand(first: number): Part | undefined {
    if (!isOneOf(this.#scan, first, 'thousandAlone') || !this.#is(first, 'thousand')) return undefined;
    if (cueAt(this.#scan, first, 'thousandThanks')) return undefined;
    return { next: first, value: 1, digits: false };
  }

  #thousands(mention: NumberMention, head: Part, at: number): NumberMention {
    const whole = head.tenth === undefined ? head.value : head.value + head.tenth / 10;
    const scaled: NumberMention = {
      ...this.#bare(mention),
      last: at,
      value: Math.round(whole * 1000),
      scaled: true,
      digits: head.digits && this.#scan.words[at] === 'k',
    };
    // "k" closes a number: "97k 16 model". A spoken thousand may go on: "46 thousand 2 hundred".
    if (this.#scan.words[at] === 'k' || mention.decimals > 0) return scaled;
    let next = at + 1;
    // "two hundred eighty-eight thousand, four hundred six": words only, since typed groups are numbers of their own.
    const comma = this.#scan.words[next] === ',' && !head.digits && this.#numeral(next + 1) !== undefined;
    if (comma) next++;
    const joined = this.#is(next, 'and');
    if (joined) next++;
    const rest = this.#group(next);
    if (comma && (!rest || rest.digits || rest.value < 100)) return scaled;
    // "two thousand fourteen six point seven": the year, and then the engine.
    const goesOn = rest !== undefined && (rest.tenth !== undefined || (rest.mention?.decimals ?? 0) > 0);
    const year = goesOn && head.value === 2 && !head.digits ? this.#small(next, true) : undefined;
    if (year && !this.#is(year.next, 'point')) {
      return { ...scaled, last: year.next - 1, value: scaled.value + year.value };
    }
    if (!rest || rest.value >= 1000 || rest.tenth !== undefined || rest.mention?.decimals) return scaled;
    // "133 mil 45" says it all where nothing follows.
    const last = rest.next >= this.#scan.pieces.length && isOneOf(this.#scan, at, 'thousandAlone');
    const typed = rest.digits && rest.value < 100 && !joined && !last;
    const threeDigits = rest.mention?.length === 3;
    if ((typed && !threeDigits) || this.#is(this.#after(rest.next), 'thousand')) return scaled;
    return { ...scaled, last: rest.next - 1, value: scaled.value + rest.value };
  }

  /** "one twelve four fifty" and "98 1000 412": the thousand is left out, or written as a number of its own. */
  #looseThousands(mention: NumberMention, head: Part): NumberMention | undefined {
    const { pieces } = this.#scan;
    const at = head.next;
    if (head.digits && head.value < 1000 && pieces[at]?.text === '1000' && pieces[at]?.spaced) {
      const rest = this.#group(at + 1);
      const add = rest && rest.digits && rest.value < 1000 ? rest.value : undefined;
      const last = add === undefined ? at : (rest as Part).next - 1;
      return { ...this.#bare(mention), last, value: head.value * 1000 + (add ?? 0), loose: true, scaled: true };
    }
    if (head.digits || head.value < 10 || head.value > 999) return undefined;
    // With a tenth read ahead ("ninety eight four hundred") the hundreds start at that tenth.
    const from = head.tenth === undefined ? at : at - 1;
    const rest = this.#group(from);
    if (!rest || rest.digits || rest.value < 100 || rest.value > 999 || rest.tenth !== undefined) return undefined;
    return { ...this.#bare(mention), last: rest.next - 1, value: head.value * 1000 + rest.value, loose: true };
  }

  /** A number below 1,000 in words, or one typed in digits. */
  #group(first: number): Part | undefined {
    const hundreds = this.#hundreds(first);
    if (hundreds) return this.#withPoint(hundreds);
    const typed = typedAt(this.#scan, this.#taken, first);
    if (typed) return this.#withPoint(typed);
    const small = this.#small(first);
    return small ? this.#withPoint(small) : undefined;
  }

  #hundreds(first: number): Part | undefined {
    const spanish = this.#valueOf(first, 'hundreds');
    if (spanish !== undefined) return this.#plusSmall(first + 1, spanish);
    let at = first;
    let count: number | undefined;
    // "A couple hundred" is no hundred, and how many it is nobody says.
    if (cueEnding(this.#scan, at - 1, 'vagueCount')) return undefined;
    if (this.#is(at, 'hundred')) {
      // "hundred and ten" without the "a"
      if (this.#scan.pieces[at - 1]?.kind === 'number') return undefined;
      return this.#scan.words[at]?.endsWith('s') ? undefined : this.#plusSmall(at + 1, 100);
    }
    if (this.#is(at, 'one') && (this.#is(this.#after(at + 1), 'hundred') || this.#is(at + 1, 'thousand'))) {
      if (this.#is(at + 1, 'thousand')) return { next: at + 1, value: 1, digits: false };
      count = 1;
      at = this.#after(at + 1);
    } else {
      const small = this.#small(at, true) ?? typedAt(this.#scan, this.#taken, at);
      if (!small || small.tenth !== undefined || small.value >= 100 || small.mention?.decimals) return undefined;
      count = small.value;
      at = this.#after(small.next);
    }
    if (!this.#is(at, 'hundred')) {
      // "a 100 and 10"
      return undefined;
    }
    return count > 0 ? this.#plusSmall(at + 1, count * 100) : undefined;
  }

  /** Adds tens and units to hundreds: "hundred and twelve", "ciento doce", "6 hundred and 12". */
  #plusSmall(at: number, hundreds: number): Part {
    const joined = this.#is(at, 'and');
    const from = this.#after(joined ? at + 1 : at);
    const typed = typedAt(this.#scan, this.#taken, from);
    const counts = joined || (typed !== undefined && this.#is(this.#after(typed.next), 'thousand'));
    const small = this.#small(from, true) ?? (counts ? typed : undefined);
    if (!small || small.value >= 100 || small.value === 0 || small.mention?.decimals) {
      return { next: at, value: hundreds, digits: false };
    }
    if (this.#is(small.next, 'hundred')) return { next: at, value: hundreds, digits: false };
    const tenth = small.tenth === undefined ? {} : { tenth: small.tenth };
    return { next: small.next, value: hundreds + small.value, digits: false, ...tenth };
  }

  /** Numbers below 100 in words, and the spoken hundreds "one eighty seven", "two twelve", "one oh four". */
  #small(first: number, below100 = false): Part | undefined {
    const teen = this.#valueOf(first, 'teen');
    if (teen !== undefined) return this.#withTenth({ next: first + 1, value: teen, digits: false }, below100);
    const ten = this.#valueOf(first, 'ten');
    if (ten !== undefined) return this.#withTenth(this.#tens(first, ten), below100);
    const unit = this.#valueOf(first, 'unit');
    if (unit === undefined) return undefined;
    if (below100) return { next: first + 1, value: unit, digits: false };
    const at = this.#after(first + 1);
    if (unit > 0) {
      const teenAfter = this.#valueOf(at, 'teen');
      const tenAfter = this.#valueOf(at, 'ten');
      // "Una noventa y ocho": an article again.
      if ((teenAfter ?? tenAfter) !== undefined && isOneOf(this.#scan, first, 'oneArticle')) return undefined;
      if (teenAfter !== undefined) {
        return this.#withTenth({ next: at + 1, value: unit * 100 + teenAfter, digits: false }, false);
      }
      if (tenAfter !== undefined) {
        const tens = this.#tens(at, tenAfter);
        return this.#withTenth({ ...tens, value: unit * 100 + tens.value }, false);
      }
    }
    const second = this.#valueOf(at, 'unit');
    // "Una dos mil quince", "un seis punto siete": an article, and then the number.
    const counts = second !== undefined && this.#is(this.#after(at + 1), 'thousand', 'point');
    if (counts && isOneOf(this.#scan, first, 'oneArticle')) return undefined;
    if (second === undefined) return { next: first + 1, value: unit, digits: false };
    const third = this.#valueOf(this.#after(at + 1), 'unit');
    if (third !== undefined && unit > 0 && !this.#is(this.#after(this.#after(at + 1) + 1), 'hundred')) {
      return { next: this.#after(at + 1) + 1, value: unit * 100 + second * 10 + third, digits: false };
    }
    if (unit === 0) return { next: at + 1, value: second, digits: false, mention: { leadingZero: true } };
    if (this.#is(this.#after(at + 1), 'hundred')) return { next: first + 1, value: unit, digits: false };
    return { next: at + 1, value: unit, digits: false, tenth: second };
  }

  #tens(first: number, ten: number): Part {
    let at = this.#after(first + 1);
    if (this.#is(at, 'and') && isOneOf(this.#scan, at, 'tensAnd')) at++;
    const unit = this.#valueOf(at, 'unit');
    // "sixty one hundred": the unit counts hundreds of its own.
    if (unit === undefined || unit === 0) return { next: first + 1, value: ten, digits: false };
    return { next: at + 1, value: ten + unit, digits: false };
  }

  /** "ninety eight four": a single digit after it is the tenth. */
  #withTenth(part: Part, below100: boolean): Part {
    if (below100) return part;
    const at = this.#after(part.next);
    const unit = this.#valueOf(at, 'unit');
    if (unit === undefined) return part;
    return { ...part, next: at + 1, tenth: unit };
  }

  /** "six point seven", "98 point 4", "siete punto tres". */
  #withPoint(part: Part): Part {
    // "six-point-seven"
    const point = this.#after(part.next);
    if (!this.#is(point, 'point') || part.mention?.decimals) return part;
    // "A ninety nine seven point three": what stands before the point is a number of its own.
    if (part.tenth !== undefined && part.value >= 10) {
      const { tenth: _tenth, ...alone } = part;
      return { ...alone, next: part.next - 1 };
    }
    const tenths = this.#after(point + 1);
    const piece = this.#scan.pieces[tenths];
    const unit = this.#valueOf(tenths, 'unit');
    const typed = piece?.kind === 'number' && piece.text.length <= 2 ? piece.text : undefined;
    if (unit === undefined && typed === undefined) return part;
    const decimals = unit === undefined ? (typed as string) : String(unit);
    const value = Number(`${part.tenth === undefined ? part.value : part.value * 10 + part.tenth}.${decimals}`);
    return { next: tenths + 1, value, digits: part.digits, mention: { ...part.mention, decimals: decimals.length } };
  }

  /** "and change" leaves the value; "two seventy four and a half" adds half of what is counted. */
  #withChange(mention: NumberMention, last: number): NumberMention {
    const half = this.#is(last, 'half') || isOneOf(this.#scan, last, 'halves');
    if (!half || mention.decimals > 0 || mention.change) return { ...mention, last, change: true };
    if (mention.scaled) return { ...mention, last, value: mention.value + 500 };
    return mention.value < 1000
      ? { ...mention, last, value: mention.value + 0.5, change: true }
      : { ...mention, last, change: true };
  }

  /** "and change", "+", "something" after a number belong to it. */
  #withTail(mention: NumberMention): NumberMention {
    let found = mention;
    for (let rounds = 0; rounds < 2; rounds++) {
      const at = this.#after(found.last + 1);
      if (this.#scan.sentence[at] !== this.#scan.sentence[found.last]) break;
      const change = cueAt(this.#scan, at, 'andChange');
      const something = cueAt(this.#scan, at, 'something');
      const vague = change || something || found.scaled ? undefined : cueAt(this.#scan, at, 'vagueThousand');
      if (vague && this.#is(vague.last + 1, 'thousand') && found.value < 1000) {
        return { ...found, last: vague.last + 1, value: found.value * 1000, scaled: true, change: true };
      }
      if (change) found = this.#withChange(found, change.last);
      else if (something) found = { ...found, last: something.last, something: true };
      else break;
      // "80 some thousand", "a hundred and something thousand"
      if (!found.scaled && this.#is(found.last + 1, 'thousand') && found.value < 1000) {
        found = { ...found, last: found.last + 1, value: found.value * 1000, scaled: true };
      }
    }
    return found;
  }
}

/** True where the piece before a number is an apostrophe that stands for the century: '16. */
export const afterApostrophe = (scan: Scan, mention: NumberMention): boolean =>
  scan.words[mention.first - 1] === "'" && scan.pieces[mention.first]?.spaced === false;

/** True where a cue ends right before the number without any word between. */
export const directlyAfter = (scan: Scan, mention: NumberMention, cue: Parameters<typeof cueEnding>[2]): boolean =>
  cueEnding(scan, mention.first - 1, cue) !== undefined;
