import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cleanText, INCOMING_TEXT_LIMIT, mediaIdOf, splitText } from '../../../src/edges/channels/text.ts';

const visible = (text: string): string => text.replace(/\s+/g, '');

describe('a stranger’s text', () => {
  it.each([
    ['  hello \n', 'hello', 'blanks around it'],
    ['a\0b', 'ab', 'NUL, which PostgreSQL refuses'],
    ['a\u001b[31mb', 'a[31mb', 'an escape that a terminal would obey'],
    ['a\r\nb\rc', 'a\nb\nc', 'line ends of other systems'],
    ['a\ud83d', 'a\ufffd', 'half a character'],
    ['🚚 truck', '🚚 truck', 'a whole one beyond the basic plane stays'],
    ['\u0007\u0008', '', 'nothing but control characters'],
  ])('%j becomes %j: %s', (given, kept) => {
    expect(cleanText(given)).toBe(kept);
  });

  it('is cut at the limit, never through a character', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 20 }), fc.nat(3), (tail, shift) => {
        const kept = cleanText(`${'a'.repeat(INCOMING_TEXT_LIMIT - shift)}🚚${tail}`);
        return kept.length <= INCOMING_TEXT_LIMIT && !/\p{Surrogate}/u.test(kept);
      }),
    );
  });

  it('of a hundred megabytes is dealt with at once', () => {
    expect(cleanText('x'.repeat(100_000_000)).length).toBeLessThanOrEqual(INCOMING_TEXT_LIMIT);
  });
});

describe('a text that is too long for one message', () => {
  it.each([
    [`${'a'.repeat(30)}\n\n${'b'.repeat(30)}`, 40, ['a'.repeat(30), 'b'.repeat(30)], 'at the end of a paragraph'],
    [`${'a'.repeat(30)}\n${'b'.repeat(30)}`, 40, ['a'.repeat(30), 'b'.repeat(30)], 'at the end of a line'],
    ['One sentence here. Another one there.', 25, ['One sentence here.', 'Another one there.'], 'behind a sentence'],
    ['aaaa bbbb cccc dddd', 10, ['aaaa bbbb', 'cccc dddd'], 'between words'],
    ['x'.repeat(25), 10, ['x'.repeat(10), 'x'.repeat(10), 'x'.repeat(5)], 'anywhere where there is no better place'],
    [`${'x'.repeat(9)}🚚${'x'.repeat(3)}`, 10, ['x'.repeat(9), '🚚xxx'], 'but not through a character'],
    ['   ', 10, [], 'a blank one gives nothing'],
  ])('%j in parts of %i', (text, limit, parts) => {
    expect(splitText(text, limit)).toEqual(parts);
  });

  it('loses nothing but blanks at the cuts, and no part is blank or too long', () => {
    const words = fc.array(
      fc.oneof(fc.string({ unit: 'grapheme', maxLength: 30 }), fc.constantFrom('\n\n', '\n', ' ')),
    );
    fc.assert(
      fc.property(words, fc.integer({ min: 8, max: 64 }), (pieces, limit) => {
        const text = pieces.join(' ');
        const parts = splitText(text, limit);
        expect(visible(parts.join(''))).toBe(visible(text));
        for (const part of parts) {
          expect(part.length).toBeLessThanOrEqual(limit);
          expect(part.trim()).not.toBe('');
        }
      }),
    );
  });
});

describe('the name of a picture', () => {
  it('is the same for the same message, and different for every other', () => {
    expect(mediaIdOf('update:1:2', 0)).toBe(mediaIdOf('update:1:2', 0));
    expect(new Set([mediaIdOf('update:1:2', 0), mediaIdOf('update:1:2', 1), mediaIdOf('update:1:20', 0)]).size).toBe(3);
  });
});
