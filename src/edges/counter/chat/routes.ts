import { randomUUID } from 'node:crypto';
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { DateTime } from 'luxon';
import { z } from 'zod';
import { eventStream } from '../events.ts';
import type { Means } from '../means.ts';
import { sameOrigin } from '../same-origin.ts';
import { knownAddress, ownersAddress } from './identity.ts';
import { chatPage } from './page.ts';
import { sheetLines, type SheetWords } from './sheet.ts';

const Fields = z.object({
  text: z.string().max(100_000).default(''),
  postId: z
    .string()
    .regex(/^[\w-]{1,64}$/)
    .optional(),
  zone: z.string().max(64).optional(),
});
const Press = z.object({
  data: z.string().min(1).max(64),
  postId: z
    .string()
    .regex(/^[\w-]{1,64}$/)
    .optional(),
  zone: z.string().max(64).optional(),
});
/** What a link or QR code carried, and the browser's zone; without a script there is a zone all the same, of any name. */
const Opened = z.object({
  start: z
    .string()
    .regex(/^[\w-]{1,64}$/)
    .optional(),
  zone: z.string().max(64).optional(),
});
const Edit = z.object({ messageRef: z.string().max(300), text: z.string().max(100_000) });
const After = z.object({ after: z.coerce.number().int().min(-1).default(-1) });

/** Lines of a conversation that the page shows; older ones are still kept. */
const SHOWN = 200;

/** The owner's chat page and what its script asks for. */
export async function chatRoutes(server: FastifyInstance, means: Means): Promise<void> {
  const { store, flows, web, now } = means;

  const languageOf = (request: FastifyRequest): 'en' | 'es' =>
    /^\s*es\b/i.test(request.headers['accept-language'] ?? '') ? 'es' : 'en';

  async function talkOf(request: FastifyRequest, address: string, after = -1) {
    const ownerId = await store.views.ownerAt('web', address);
    const lines = ownerId === undefined ? [] : await store.views.talk(ownerId, after, SHOWN);
    const words: SheetWords = {
      texts: flows.texts,
      language: languageOf(request),
      zone: zoneOf(request) ?? flows.shop.zone,
    };
    return { ownerId, lines, words };
  }

  /** Without a script the page is simply shown again; with one, only the outcome is told. */
  async function outcome(
    request: FastifyRequest,
    reply: FastifyReply,
    result: Awaited<ReturnType<Means['web']['post']>>,
  ) {
    const wantsPage = (request.headers.accept ?? '').includes('text/html');
    if (result.ok)
      return wantsPage ? reply.redirect('/#write', 303) : reply.send({ ok: true, messageRef: result.messageRef });
    const why = flows.texts.say(
      languageOf(request),
      `post-${result.because === 'photo' ? result.reason : result.because}`,
    );
    // While the program starts or ends it takes nothing: the same post is right a moment later.
    if (result.because === 'stopped') void reply.header('retry-after', '1');
    const status = result.because === 'stopped' ? 503 : 422;
    if (!wantsPage) return reply.code(status).send({ ok: false, why });
    const { lines, words } = await talkOf(request, ownersAddress(request, reply, means.secureCookies));
    return reply
      .code(status)
      .type('text/html; charset=utf-8')
      .send(chatPage(lines, words, flows.shop, why));
  }

  server.get('/', async (request, reply) => {
    const address = ownersAddress(request, reply, means.secureCookies);
    const { ownerId, lines, words } = await talkOf(request, address);
    const query = Opened.safeParse(request.query);
    const { start, zone } = query.success ? query.data : {};
    const isNew = ownerId === undefined || start !== undefined;
    // Where a script will tell the browser's zone, the chat is opened then: an owner's first event brings the zone.
    const told = zoneOf(request);
    const opensNow = isNew && (told !== undefined || zone !== undefined);
    if (opensNow) {
      const result = await opened(request, address, start, told);
      if (!result.ok) return outcome(request, reply, result);
    }
    void reply.header('cache-control', 'no-store');
    return reply
      .type('text/html; charset=utf-8')
      .send(chatPage(lines, words, flows.shop, undefined, isNew && !opensNow ? { start } : undefined));
  });

  const opened = (request: FastifyRequest, address: string, start: string | undefined, zone: string | undefined) =>
    web.post({
      address,
      postId: start === undefined ? 'first' : `start-${start}-${now().slice(0, 13)}`,
      at: now(),
      language: languageOf(request),
      ...(zone !== undefined && { zone }),
      did: { kind: 'opened', ...(start && { payload: start }) },
    });

  server.post('/chat/open', { preHandler: sameOrigin }, async (request, reply) => {
    const open = Opened.safeParse(request.body);
    if (!open.success) return reply.code(400).send({ ok: false });
    const { start, zone } = open.data;
    const address = ownersAddress(request, reply, means.secureCookies);
    const result = await opened(request, address, start, zone !== undefined && isZone(zone) ? zone : undefined);
    return result.ok ? reply.send({ ok: true }) : outcome(request, reply, result);
  });

  server.post('/chat/send', { preHandler: sameOrigin }, async (request, reply) => {
    const address = ownersAddress(request, reply, means.secureCookies);
    const form = await formOf(request);
    if (form === 'too-large') {
      return outcome(request, reply, { ok: false, because: 'photo', photo: 0, reason: 'too-large' });
    }
    const { values, photos } = form;
    const fields = Fields.safeParse(values);
    if (!fields.success)
      return reply.code(400).send({ ok: false, why: flows.texts.say(languageOf(request), 'page-refused') });
    const { text, postId, zone } = fields.data;
    const result = await web.post({
      address,
      postId: postId ?? randomUUID(),
      at: now(),
      language: languageOf(request),
      ...(zone && isZone(zone) && { zone }),
      did: { kind: 'message', text, ...(photos.length > 0 && { photos }) },
    });
    return outcome(request, reply, result);
  });

  server.post('/chat/press', { preHandler: sameOrigin }, async (request, reply) => {
    const press = Press.safeParse(request.body);
    if (!press.success)
      return reply.code(400).send({ ok: false, why: flows.texts.say(languageOf(request), 'post-bad-button') });
    const address = ownersAddress(request, reply, means.secureCookies);
    const result = await web.post({
      address,
      postId: press.data.postId ?? randomUUID(),
      at: now(),
      did: { kind: 'button', data: press.data.data },
    });
    return outcome(request, reply, result);
  });

  server.post('/chat/edit', { preHandler: sameOrigin }, async (request, reply) => {
    const edit = Edit.safeParse(request.body);
    if (!edit.success)
      return reply.code(400).send({ ok: false, why: flows.texts.say(languageOf(request), 'page-refused') });
    const address = ownersAddress(request, reply, means.secureCookies);
    if (!edit.data.messageRef.startsWith(`web:${address}:`)) return reply.code(403).send({ ok: false });
    const result = await web.post({ address, postId: randomUUID(), at: now(), did: { kind: 'edit', ...edit.data } });
    return outcome(request, reply, result);
  });

  server.get('/chat/lines', { config: { rateLimit: false } }, async (request, reply) => {
    const address = knownAddress(request);
    const after = After.safeParse(request.query);
    if (address === undefined || !after.success) return reply.code(403).send();
    const { lines, words } = await talkOf(request, address);
    void reply.header('cache-control', 'no-store');
    return reply.send({ after: lines.at(-1)?.position ?? -1, html: sheetLines(lines, words).text });
  });

  server.get('/chat/events', { config: { rateLimit: false } }, async (request, reply) => {
    const address = knownAddress(request);
    if (address === undefined) return reply.code(403).send();
    eventStream(request, reply, (send) => web.subscribe(address, () => send('news', 'new')));
    return reply;
  });

  server.get<{ Params: { id: string } }>('/chat/picture/:id', async (request, reply) => {
    const address = knownAddress(request);
    const ownerId = address === undefined ? undefined : await store.views.ownerAt('web', address);
    const picture = await store.views.picture(request.params.id);
    if (!picture || picture.ownerId !== ownerId) return reply.callNotFound();
    return reply
      .type(picture.mediaType)
      .header('cache-control', 'private, max-age=3600')
      .send(Buffer.from(picture.bytes));
  });

  server.get<{ Params: { id: string } }>('/chat/file/:id', async (request, reply) => {
    const address = knownAddress(request);
    if (address === undefined) return reply.callNotFound();
    const { lines } = await talkOf(request, address);
    const file = lines.find(({ id }) => id === request.params.id)?.attachment;
    if (!file) return reply.callNotFound();
    return reply
      .type(`${file.mediaType}; charset=utf-8`)
      .header('content-disposition', `attachment; filename="${file.name.replace(/[^\w.-]/g, '_')}"`)
      .send(file.content);
  });

  const zoneOf = (request: FastifyRequest): string | undefined => {
    const zone = request.cookies['telltale_zone'];
    return zone !== undefined && isZone(zone) ? zone : undefined;
  };
}

const isZone = (zone: string): boolean => DateTime.local({ zone }).isValid;

/** The fields and pictures of a form. A form that is broken off or not put together right is the sender's fault. */
async function formOf(
  request: FastifyRequest,
): Promise<{ values: Record<string, string>; photos: Uint8Array[] } | 'too-large'> {
  const values: Record<string, string> = {};
  const photos: Uint8Array[] = [];
  try {
    for await (const part of request.parts()) {
      if (part.type === 'field') values[part.fieldname] = String(part.value);
      else {
        const bytes = await part.toBuffer();
        if (bytes.length > 0) photos.push(bytes);
      }
    }
  } catch (fault) {
    if (fault instanceof Error && 'code' in fault && fault.code === 'FST_REQ_FILE_TOO_LARGE') return 'too-large';
    // The parser gives its own refusals a status, and leaves it out where the form cannot be read at all.
    throw fault instanceof Error && !('statusCode' in fault) ? Object.assign(fault, { statusCode: 400 }) : fault;
  }
  return { values, photos };
}
