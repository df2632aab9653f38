import { createHash, randomBytes, randomInt } from 'node:crypto';

/** Only this stands in the database; whoever reads it cannot sign in with it. */
export const hashOf = (secret: string): string => createHash('sha256').update(secret).digest('hex');

/** A token that cannot be guessed: 192 bits, in characters that need no escaping in an address. */
export const newToken = (): string => randomBytes(24).toString('base64url');

/** Letters and digits that are not mistaken for one another when they are typed from a screen. */
const CODE_LETTERS = 'ABCDEFGHJKMNPQRSTUVWXYZ23456789';

/** A code that a person types: 10 of 31 characters are 49 bits, for codes that live for minutes. */
export const newTypedCode = (): string =>
  Array.from({ length: 10 }, () => CODE_LETTERS[randomInt(CODE_LETTERS.length)]).join('');
