import { createHmac, timingSafeEqual } from 'node:crypto';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { StaffAccount } from '../../store/types.ts';
import type { Means } from '../means.ts';

const COOKIE = 'telltale_staff';
/** A working day and its evening. */
const SESSION_HOURS = 14;

export interface Session {
  staff: StaffAccount;
  /** Stands in every form; follows from the session and from nothing that another site could know. */
  formToken: string;
}

const formTokenOf = (token: string): string => createHmac('sha256', token).update('form').digest('base64url');

export async function sessionOf(request: FastifyRequest, means: Means): Promise<Session | undefined> {
  const token = request.cookies[COOKIE];
  if (token === undefined) return undefined;
  const staff = await means.store.access.session(token, means.now());
  return staff && { staff, formToken: formTokenOf(token) };
}

/** Uses a sign-in link up; false where it is used, too old or made up. */
export async function signIn(code: string, reply: FastifyReply, means: Means): Promise<boolean> {
  const opened = await means.store.access.signIn(code, means.now(), SESSION_HOURS);
  if (!opened) return false;
  void reply.setCookie(COOKIE, opened.token, {
    path: '/counter',
    httpOnly: true,
    sameSite: 'strict',
    secure: means.secureCookies,
  });
  return true;
}

export async function signOut(request: FastifyRequest, reply: FastifyReply, means: Means): Promise<void> {
  const token = request.cookies[COOKIE];
  if (token !== undefined) await means.store.access.signOut(token);
  void reply.clearCookie(COOKIE, { path: '/counter' });
}

export function isFormToken(given: unknown, session: Session): boolean {
  if (typeof given !== 'string') return false;
  const [one, other] = [Buffer.from(given), Buffer.from(session.formToken)];
  return one.length === other.length && timingSafeEqual(one, other);
}
