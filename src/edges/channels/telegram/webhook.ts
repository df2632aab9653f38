import { createHash, createHmac, timingSafeEqual } from 'node:crypto';

/** What a route hands over: the header `X-Telegram-Bot-Api-Secret-Token` and the body as parsed JSON. */
export interface WebhookRequest {
  secretToken: unknown;
  body: unknown;
}

/** The status to answer with: taken, a stranger, or not now (the Bot API posts again). */
export type WebhookStatus = 200 | 401 | 500;

const digest = (text: string): Buffer => createHash('sha256').update(text).digest();

/** Compares in a time that tells nothing about where the two differ, nor how long the right one is. */
export const sameSecret = (given: unknown, right: string): boolean =>
  typeof given === 'string' && timingSafeEqual(digest(given), digest(right));

/**
 * The secret that the Bot API sends back with every update. It follows from the bot token, so that every process knows
 * it and there is nothing more to set; the token does not follow from it.
 */
export const webhookSecret = (token: string): string =>
  createHmac('sha256', token).update('webhook secret').digest('base64url');

/**
 * Answers one post of the Bot API: checks the secret, makes the update durable, and only then says that it was taken.
 * Anything but 200 makes the Bot API post the update again.
 */
export function webhookHandler(
  secret: string,
  take: (update: unknown) => Promise<void>,
  onFault: (fault: unknown) => void,
): (request: WebhookRequest) => Promise<WebhookStatus> {
  return async ({ secretToken, body }) => {
    if (!sameSecret(secretToken, secret)) return 401;
    try {
      await take(body);
      return 200;
    } catch (fault) {
      onFault(fault);
      return 500;
    }
  };
}
