import { randomInt } from 'node:crypto';

/** What a link into a chat carries when an owner brings a one-time code from another channel. */
export const LINK_PAYLOAD = /^(?:link[_-])?([A-Z2-9]{10})$/;

/** Letters and digits that are not mistaken for one another when they are typed from a screen. */
const LETTERS = 'ABCDEFGHJKMNPQRSTUVWXYZ23456789';

/** A code for one owner to carry to another channel: 10 of 31 characters, about 49 bits, used once within the hour. */
export const newLinkCode = (): string => Array.from({ length: 10 }, () => LETTERS[randomInt(LETTERS.length)]).join('');
