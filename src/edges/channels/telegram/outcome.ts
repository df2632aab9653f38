import { GrammyError, HttpError } from 'grammy';
import type { Delivery } from '../../store/types.ts';

/** Seconds to wait where Telegram does not say. */
const WAIT = { afterTooMany: 5, afterFault: 5, afterLostConnection: 3, whileForbidden: 300, whileUnauthorised: 60 };

/** Descriptions of a chat that is gone; Telegram has no codes for them. */
const GONE = [
  'chat not found',
  'user not found',
  'peer_id_invalid',
  'group chat was deactivated',
  'user is deactivated',
  'bot is not a member',
  'chat_id is empty',
];

const later = (afterSeconds: number, because: string): Delivery => ({ outcome: 'later', afterSeconds, because });

function ofRefusal(error: GrammyError): Delivery {
  const { error_code: code, description, parameters } = error;
  const says = description.toLowerCase();
  if (parameters.migrate_to_chat_id !== undefined) {
    return { outcome: 'moved', address: String(parameters.migrate_to_chat_id) };
  }
  if (parameters.retry_after !== undefined || code === 429) {
    return later(parameters.retry_after ?? WAIT.afterTooMany, 'too many requests');
  }
  if (code >= 500) return later(WAIT.afterFault, `the Bot API answered ${code}`);
  if (code === 401 || code === 404) return later(WAIT.whileUnauthorised, 'the Bot API does not accept the token');
  if (code === 409) return later(WAIT.afterFault, 'the Bot API reports a conflict');
  if (says.includes('message is not modified')) return { outcome: 'sent' };
  if (says.includes('not enough rights') || says.includes('have no rights')) {
    return later(WAIT.whileForbidden, 'the bot may not write in this chat');
  }
  if (code === 403 || GONE.some((words) => says.includes(words))) {
    return { outcome: 'unreachable', because: description };
  }
  return { outcome: 'refused', because: description };
}

/**
 * What a failed call means for the message. Whoever reads `because` may log it: it never holds an address, since the
 * Bot API's addresses contain the token. A fault that is not the Bot API's or the network's is thrown on.
 */
export function outcomeOf(error: unknown): Delivery {
  if (error instanceof GrammyError) return ofRefusal(error);
  if (error instanceof HttpError) return later(WAIT.afterLostConnection, 'the Bot API could not be reached');
  throw error;
}

/** Whether the Bot API says that the token is wrong; nothing but another token mends that. */
export const isWrongToken = (error: unknown): boolean =>
  error instanceof GrammyError && (error.error_code === 401 || error.error_code === 404);

/** The token was not accepted at the start. */
export class WrongTokenError extends Error {
  readonly code = 'TELEGRAM_TOKEN_REFUSED';

  constructor() {
    super('TELEGRAM_TOKEN is wrong: the Bot API does not accept it; it should be the token as issued for the bot');
    this.name = 'WrongTokenError';
  }
}
