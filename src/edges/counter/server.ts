import { fileURLToPath } from 'node:url';
import cookie from '@fastify/cookie';
import formbody from '@fastify/formbody';
import helmet from '@fastify/helmet';
import multipart from '@fastify/multipart';
import rateLimit from '@fastify/rate-limit';
import files from '@fastify/static';
import fastify, { type FastifyInstance, type FastifyReply } from 'fastify';
import { ROUTES } from './access.ts';
import { chatRoutes } from './chat/routes.ts';
import { healthRoutes } from './health.ts';
import { changeEvents } from './shop/changes.ts';
import { counterRoutes } from './shop/routes.ts';
import type { Means } from './means.ts';

const PUBLIC = fileURLToPath(new URL('./public', import.meta.url));

/** A photo from a phone before it is made smaller, and a few of them with one message. */
const UPLOAD_BYTES = 20_000_000;
const UPLOADS = 8;
const FORM_BYTES = 100_000;
/**
 * Only the proxy in front of the program is believed when it names the sender; what a client writes into the same header
 * itself stands further out and would let it pass for anyone.
 */
const isOurProxy = (_address: string, hop: number): boolean => hop < 1;

/** The shop's pages and the owner's chat page as one server, not yet listening. */
export async function createServer(means: Means): Promise<FastifyInstance> {
  const server = fastify({
    logger: false,
    bodyLimit: 1_000_000,
    trustProxy: means.secureCookies ? isOurProxy : false,
    // An address that cannot be read is refused before any route or hook: the safe headers are set here.
    frameworkErrors: (_fault, _request, reply) => {
      const text = means.flows.texts.say('en', 'page-refused', { phone: means.flows.shop.phone });
      void (reply as unknown as FastifyReply)
        .code(400)
        .headers({ 'content-security-policy': "default-src 'none'", 'x-content-type-options': 'nosniff' })
        .type('text/plain; charset=utf-8')
        .send(text);
    },
  });
  server.addHook('onRoute', ({ method, url }) => {
    for (const one of [method].flat()) {
      const name = `${one === 'HEAD' ? 'GET' : one} ${url}`;
      if (ROUTES[name] === undefined) throw new Error(`nobody is named who may use the route ${name}`);
    }
  });
  await server.register(helmet, {
    contentSecurityPolicy: {
      useDefaults: false,
      directives: {
        defaultSrc: ["'none'"],
        scriptSrc: ["'self'"],
        styleSrc: ["'self'"],
        imgSrc: ["'self'", 'blob:'],
        connectSrc: ["'self'"],
        formAction: ["'self'"],
        baseUri: ["'none'"],
        frameAncestors: ["'none'"],
      },
    },
    strictTransportSecurity: means.secureCookies,
    referrerPolicy: { policy: 'no-referrer' },
  });
  await server.register(cookie);
  await server.register(formbody, { bodyLimit: FORM_BYTES });
  await server.register(multipart, {
    limits: { fileSize: UPLOAD_BYTES, files: UPLOADS, fields: 120, fieldSize: FORM_BYTES },
  });
  await server.register(rateLimit, { max: 600, timeWindow: '1 minute' });
  await server.register(files, { root: PUBLIC, prefix: '/public/', maxAge: '1h' });

  server.setErrorHandler((error: Error & { statusCode?: number }, _request, reply) => {
    const status = error.statusCode ?? 500;
    if (status >= 500) means.log.error({ fault: error.name }, 'a page could not be answered');
    const text = means.flows.texts.say('en', status >= 500 ? 'page-fault' : 'page-refused', {
      phone: means.flows.shop.phone,
    });
    return reply.code(status).type('text/plain; charset=utf-8').send(text);
  });
  server.setNotFoundHandler((_request, reply) =>
    reply.code(404).type('text/plain; charset=utf-8').send(means.flows.texts.say('en', 'page-missing')),
  );

  healthRoutes(server, means);
  if (means.telegram) {
    const take = means.telegram;
    server.post('/telegram', { config: { rateLimit: false } }, async (request, reply) =>
      reply.code(await take({ secret: request.headers['x-telegram-bot-api-secret-token'], body: request.body })).send(),
    );
  }
  await chatRoutes(server, means);
  counterRoutes(server, means);
  changeEvents(server, means);
  return server;
}
