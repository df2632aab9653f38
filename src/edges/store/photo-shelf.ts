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
  /** The owner is told in their chat, by a turn of their conversation. */
  refuse: (mediaId: string, because: string): Promise<void> =>
    store.transaction(async (tx) => {
      const ownerId = await tx.mediaRefused(mediaId, because);
      const address = ownerId === undefined ? undefined : await tx.addressOf(ownerId, channel);
      if (ownerId === undefined || address === undefined) return;
      await tx.lockOwners([ownerId]);
      const at = clock();
      const event = { kind: 'unreadable', channel, at, what: 'photo' } as const;
      await tx.addToInbox([
        { source: channel, externalId: `refused:${mediaId}`, ownerId, address, event, receivedAt: at },
      ]);
    }),
  later: (mediaId: string, afterSeconds: number): Promise<void> =>
    store.transaction((tx) => tx.mediaLater(mediaId, instantOf(Date.parse(clock()) + afterSeconds * 1000))),
});
