import fc from 'fast-check';

/** Words that have broken programs before: of other languages, other parsers and other times. */
export const HOSTILE: readonly string[] = [
  '',
  ' ',
  '\0',
  'a\0b',
  '\r\nset-cookie: telltale_staff=x',
  '../../../../etc/passwd',
  '..%2f..%2fsecret.key',
  '....//....//shop.sqlite',
  '%00',
  '%ff%fe',
  '%c0%ae%c0%ae/',
  "'; drop table owners; --",
  '" or 1=1 --',
  '<script>alert(1)</script>',
  '"><img src=x onerror=alert(1)>',
  '{{7*7}}${7*7}<%= 7*7 %>',
  '{ $name }',
  '__proto__',
  'constructor',
  'toString',
  'hasOwnProperty',
  '{"__proto__":{"role":"manager"}}',
  '[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[',
  '{"a":'.repeat(200),
  'NaN',
  'Infinity',
  '-0',
  '1e309',
  '9007199254740993',
  '-1',
  '0x7f',
  '٣٤٥٦',
  '½ mile',
  '\u202Etxt.exe',
  '\uFEFF',
  '\uD800',
  '\uDC00\uD800',
  'e\u0301'.repeat(50),
  'Z̷̢̛̜a̷l̶g̵o',
  '👩‍👩‍👧‍👦'.repeat(20),
  'a'.repeat(5_000),
  '9'.repeat(400),
  'k'.repeat(300) + '97',
  '('.repeat(1_000),
  '/link aaaaaaaa',
  '/close r-i1-q 100000 none',
  '/start link_AAAAAAAAAAAAAAAA',
  '/start ../..',
  'q:i1.1:nothing',
  's:accept:r-i1-q:1',
  's:close:r-i1-q:1',
  'q:::::::::::',
  'stop',
  'forget me',
  '2017 6.7 V8 diesel, 92k',
  'ZZ1AB2CD3EF456789',
  'P0087 P0088 U0100',
];

/** A hostile word, any string, or pieces of them run together. */
export const hostileText: fc.Arbitrary<string> = fc.oneof(
  fc.constantFrom(...HOSTILE),
  fc.string({ unit: 'binary', maxLength: 200 }),
  fc.string({ unit: 'grapheme', maxLength: 80 }),
  fc
    .array(fc.oneof(fc.constantFrom(...HOSTILE), fc.string({ maxLength: 10 })), { maxLength: 5 })
    .map((parts) => parts.join(' ')),
);

/** A value of any JSON shape, with hostile words as keys and values. */
export const hostileValue: fc.Arbitrary<unknown> = fc.oneof(
  { weight: 3, arbitrary: hostileText },
  { weight: 2, arbitrary: fc.constantFrom<unknown>(null, true, -1, 0, 1.5, 2 ** 53, 1e300, [], {}) },
  { weight: 1, arbitrary: fc.jsonValue({ maxDepth: 3 }) },
  { weight: 1, arbitrary: fc.dictionary(hostileText, hostileText, { maxKeys: 4, noNullPrototype: true }) },
);

/** One place in a value put out, exchanged, or doubled. Chosen by number, so that it shrinks. */
export function damaged(value: unknown, at: number, how: unknown): unknown {
  const copy = structuredClone(value);
  const places: { parent: Record<string, unknown>; key: string }[] = [];
  const walk = (one: unknown): void => {
    if (typeof one !== 'object' || one === null) return;
    for (const key of Object.keys(one)) {
      places.push({ parent: one as Record<string, unknown>, key });
      walk((one as Record<string, unknown>)[key]);
    }
  };
  walk(copy);
  const place = places[at % Math.max(1, places.length)];
  if (!place) return copy;
  if (how === undefined) delete place.parent[place.key];
  else place.parent[place.key] = how;
  return copy;
}
