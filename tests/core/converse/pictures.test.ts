import { describe, expect, it } from 'vitest';
import { compileFlows, turn, type InboxEvent, type OwnerFile } from '../../../src/core/mod.ts';
import { newConversation } from '../../../src/edges/store/json.ts';
import { readFlowsFolder } from '../../../src/flows-folder.ts';

const NOW = '2026-11-02T17:00:00.000Z';
const checked = compileFlows(readFlowsFolder());
if (!checked.ok) throw new Error('flows/ is not sound');
const flows = checked.value;
const stranger: OwnerFile = {
  owner: { id: 'o1', language: 'en', zone: 'America/Denver', channel: 'telegram', createdAt: NOW },
  conversation: newConversation(),
  vehicles: [],
  requests: [],
  followUps: [],
  unaskedAt: [],
};

/** One picture after the other, each with its words and the album that it was sent in; answers the replies to each. */
function send(pictures: { text?: string; album?: string }[]) {
  let file = stranger;
  return pictures.map(({ text = '', album }, index) => {
    const event: InboxEvent = {
      id: `i${index}`,
      at: NOW,
      kind: 'message',
      channel: 'telegram',
      messageRef: `telegram:${index}`,
      text,
      photos: [`photo-${index}`],
      ...(album && { album }),
    };
    const result = turn({ file }, event, flows, NOW);
    if (!result.done) throw new Error('the diary is not needed for a picture');
    file = result.next;
    return { replies: result.replies.length, photos: file.conversation.matter?.photos.length };
  });
}

describe('pictures', () => {
  it('that were sent together are all kept, and answered once', () => {
    const [first, ...rest] = send([{ album: 'a' }, { album: 'a' }, { album: 'a' }]);
    expect(first?.replies).toBeGreaterThan(0);
    expect(rest).toEqual([
      { replies: 0, photos: 2 },
      { replies: 0, photos: 3 },
    ]);
  });

  it('with words on the first are answered by what the words say', () => {
    const [first, second] = send([{ text: '2016 6.7 V8 diesel, it leaks here', album: 'a' }, { album: 'a' }]);
    expect(first?.replies).toBeGreaterThan(0);
    expect(second).toEqual({ replies: 0, photos: 2 });
  });

  it('with words on a later one are read all the same', () => {
    const [, second] = send([{ album: 'a' }, { text: '2016 6.7 V8 diesel, it leaks fuel', album: 'a' }]);
    expect(second?.replies).toBeGreaterThan(0);
  });

  it('sent one by one, or in another album, are each answered', () => {
    for (const { replies } of send([{}, {}, { album: 'a' }, { album: 'b' }])) expect(replies).toBeGreaterThan(0);
  });
});
