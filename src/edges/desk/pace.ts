/** How fast the Bot API lets a bot send: one message a second to a chat, 20 a minute to a group, about 30 a second. */
const CHAT_MILLISECONDS = 1_000;
const GROUP_WINDOW = { milliseconds: 60_000, messages: 20 };
const OVERALL_WINDOW = { milliseconds: 1_000, messages: 30 };

/** Decides when the next message to an address may go. Times are milliseconds of a clock that never goes back. */
export interface Pace {
  /** Milliseconds to wait before a message to the address; 0 where it may go now. */
  wait(channel: string, address: string, now: number): number;
  /** A message goes now. */
  took(channel: string, address: string, now: number): void;
}

/** Groups have negative numbers; people and everything else do not. */
const isGroup = (address: string): boolean => address.startsWith('-');

/** The pace of Telegram; the other channels are not limited. */
export function createPace(): Pace {
  const overall: number[] = [];
  const byAddress = new Map<string, number[]>();

  const windowWait = (sent: number[], { milliseconds, messages }: typeof GROUP_WINDOW, now: number): number => {
    const earliest = sent[sent.length - messages];
    return earliest === undefined ? 0 : Math.max(0, earliest + milliseconds - now);
  };

  return {
    wait(channel, address, now) {
      if (channel !== 'telegram') return 0;
      const sent = byAddress.get(address) ?? [];
      const last = sent.at(-1);
      return Math.max(
        windowWait(overall, OVERALL_WINDOW, now),
        last === undefined ? 0 : Math.max(0, last + CHAT_MILLISECONDS - now),
        isGroup(address) ? windowWait(sent, GROUP_WINDOW, now) : 0,
      );
    },
    took(channel, address, now) {
      if (channel !== 'telegram') return;
      overall.push(now);
      if (overall.length > OVERALL_WINDOW.messages) overall.shift();
      const sent = byAddress.get(address) ?? [];
      sent.push(now);
      if (sent.length > (isGroup(address) ? GROUP_WINDOW.messages : 1)) sent.shift();
      byAddress.set(address, sent);
      if (byAddress.size > 5_000) forget(byAddress, now);
    },
  };
}

/** Addresses whose last message is over a minute old wait for nothing any more. */
function forget(byAddress: Map<string, number[]>, now: number): void {
  for (const [address, sent] of byAddress) {
    if ((sent.at(-1) ?? 0) + GROUP_WINDOW.milliseconds < now) byAddress.delete(address);
  }
}
