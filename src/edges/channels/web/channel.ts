import type { Channel, Incoming, IncomingPhoto, Instant, Receive } from '../../store/types.ts';
import { reencode } from '../photos.ts';
import type { Reencoded } from '../photos.ts';
import { cleanText, isButtonData, mediaIdOf } from '../text.ts';

/** Pictures that may come with one message. */
export const WEB_PHOTOS = 5;

/** What the owner's chat page hands over. */
export interface WebPost {
  /** The owner's address on the web; not the secret of the session. */
  address: string;
  /** Drawn by the page once for each thing that the owner does, so that a repeated post changes nothing. */
  postId: string;
  at: Instant;
  zone?: string;
  language?: string;
  did:
    | { kind: 'message'; text: string; photos?: Uint8Array[] }
    | { kind: 'edit'; messageRef: string; text: string }
    | { kind: 'button'; data: string }
    | { kind: 'opened'; payload?: string };
}

/** Either it is durable, or nothing was kept and the page is told why. */
export type WebPosted =
  | { ok: true; messageRef: string }
  | { ok: false; because: 'empty' | 'bad-button' | 'too-many-photos' | 'stopped' }
  | { ok: false; because: 'photo'; photo: number; reason: Extract<Reencoded, { refused: true }>['because'] };

export interface WebChannel extends Channel {
  post(post: WebPost): Promise<WebPosted>;
  /** Calls back when there is something new for an address; the page reads it from the store. Returns the way to end it. */
  subscribe(address: string, onNews: () => void): () => void;
}

/** `web:ADDRESS:POST`: what tells a repeated post, and what an edit names. */
const refOf = (address: string, postId: string): string => `web:${address}:${postId}`;

/**
 * The chat page's channel, within the process. A message counts as delivered when it is there to be read: the page shows
 * what the store holds, and an open page is told to look.
 */
export function webChannel(): WebChannel {
  const listeners = new Map<string, Set<() => void>>();
  const underWay = new Set<Promise<unknown>>();
  let receive: Receive | undefined;

  async function read(post: WebPost, externalId: string): Promise<Incoming | Extract<WebPosted, { ok: false }>> {
    const { did, at } = post;
    const base = {
      channel: 'web' as const,
      address: post.address,
      externalId,
      ...(post.zone !== undefined && { zone: post.zone }),
      ...(post.language !== undefined && { language: post.language }),
    };
    const event = { channel: 'web' as const, at };
    switch (did.kind) {
      case 'message': {
        const text = cleanText(did.text);
        const pictures = did.photos ?? [];
        if (text === '' && pictures.length === 0) return { ok: false, because: 'empty' };
        if (pictures.length > WEB_PHOTOS) return { ok: false, because: 'too-many-photos' };
        const photos: IncomingPhoto[] = [];
        for (const [index, bytes] of pictures.entries()) {
          const picture = await reencode(bytes);
          if ('refused' in picture) return { ok: false, because: 'photo', photo: index, reason: picture.because };
          photos.push({ mediaId: mediaIdOf(externalId, index), source: { bytes: picture.bytes } });
        }
        return {
          ...base,
          event: {
            ...event,
            kind: 'message',
            messageRef: externalId,
            text,
            ...(post.language !== undefined && { language: post.language }),
          },
          ...(photos.length > 0 && { photos }),
        };
      }
      case 'edit': {
        const text = cleanText(did.text);
        if (text === '') return { ok: false, because: 'empty' };
        return { ...base, event: { ...event, kind: 'edit', messageRef: did.messageRef, text } };
      }
      case 'button': {
        if (!isButtonData(did.data) || did.data.startsWith('s:')) return { ok: false, because: 'bad-button' };
        return { ...base, event: { ...event, kind: 'button', data: did.data } };
      }
      case 'opened': {
        const payload = /^[A-Za-z0-9_-]{1,64}$/.test(did.payload ?? '') ? did.payload : undefined;
        return { ...base, event: { ...event, kind: 'opened', ...(payload !== undefined && { payload }) } };
      }
      default:
        return did satisfies never;
    }
  }

  async function accept(post: WebPost, handOver: Receive): Promise<WebPosted> {
    const externalId = refOf(post.address, post.postId);
    const incoming = await read(post, externalId);
    if ('ok' in incoming) return incoming;
    await handOver([incoming]);
    return { ok: true, messageRef: externalId };
  }

  return {
    name: 'web',
    start(receiver) {
      receive = receiver;
      return Promise.resolve();
    },
    async post(post) {
      if (!receive) return { ok: false, because: 'stopped' };
      const work = accept(post, receive);
      underWay.add(work);
      try {
        return await work;
      } finally {
        underWay.delete(work);
      }
    },
    subscribe(address, onNews) {
      const those = listeners.get(address) ?? new Set();
      listeners.set(address, those.add(onNews));
      return () => {
        those.delete(onNews);
        if (those.size === 0 && listeners.get(address) === those) listeners.delete(address);
      };
    },
    deliver({ address }) {
      listeners.get(address)?.forEach((onNews) => onNews());
      return Promise.resolve({ outcome: 'sent' });
    },
    async stop() {
      receive = undefined;
      await Promise.allSettled(underWay);
      listeners.clear();
    },
  };
}
