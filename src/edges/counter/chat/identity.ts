import { createHash, randomBytes } from 'node:crypto';
import type { FastifyReply, FastifyRequest } from 'fastify';

const COOKIE = 'telltale_owner';
const ONE_YEAR_SECONDS = 365 * 86_400;

/**
 * Who writes on the chat page: a secret in a cookie of this browser. The address in the database is its hash, so that
 * neither a log nor a copy of the database opens anyone's chat.
 */
export function ownersAddress(request: FastifyRequest, reply: FastifyReply, secure: boolean): string {
  const known = request.cookies[COOKIE];
  const secret = known !== undefined && /^[\w-]{40,50}$/.test(known) ? known : randomBytes(32).toString('base64url');
  if (secret !== known) {
    void reply.setCookie(COOKIE, secret, {
      path: '/',
      httpOnly: true,
      sameSite: 'lax',
      secure,
      maxAge: ONE_YEAR_SECONDS,
    });
  }
  return addressOf(secret);
}

/** The address of an existing cookie only; undefined where the browser has none. */
export function knownAddress(request: FastifyRequest): string | undefined {
  const known = request.cookies[COOKIE];
  return known !== undefined && /^[\w-]{40,50}$/.test(known) ? addressOf(known) : undefined;
}

const addressOf = (secret: string): string => createHash('sha256').update(secret).digest('base64url');
