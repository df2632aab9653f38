import type { ChannelName, Instant } from '../../core/mod.ts';
import { instantOf } from './quarters.ts';
import type { Store } from './types.ts';

/** The pictures of one channel whose messages are safe and whose bytes are still to come, for whoever fetches them. */
export const photoShelf = (store: Store, channel: ChannelName, clock: () => Instant) => ({
  expected: async (): Promise<{ mediaId: string; fileId: string }[]> => {
    const media = await store.transaction((tx) => tx.expectedMedia(channel, clock(), 20));
    return media.map(({ id, fileId }) => ({ mediaId: id, fileId }));
  },
  store: (mediaId: string, picture: { bytes: Uint8Array; mediaType: string }): Promise<void> =>
    store.transaction((tx) => tx.mediaStored(mediaId, picture.bytes, picture.mediaType)),
  refuse: (mediaId: string, because: string): Promise<void> =>
    store.transaction((tx) => tx.mediaRefused(mediaId, because)),
  later: (mediaId: string, afterSeconds: number): Promise<void> =>
    store.transaction((tx) => tx.mediaLater(mediaId, instantOf(Date.parse(clock()) + afterSeconds * 1000))),
});
