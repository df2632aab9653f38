import type { FastifyReply, FastifyRequest } from 'fastify';

/**
 * Refuses a post that another site's page made. Browsers say where a post comes from; the cookies are SameSite=Lax
 * beside it. A client without either header is no browser and carries no cookie of anyone.
 */
export async function sameOrigin(request: FastifyRequest, reply: FastifyReply): Promise<void> {
  const site = request.headers['sec-fetch-site'];
  const origin = request.headers.origin;
  const strange =
    site !== undefined ? site !== 'same-origin' && site !== 'none' : origin !== undefined && !isOwn(origin, request);
  if (strange) await reply.code(403).type('text/plain; charset=utf-8').send('this post comes from another site');
}

const isOwn = (origin: string, request: FastifyRequest): boolean =>
  URL.canParse(origin) && new URL(origin).host === request.headers.host;
