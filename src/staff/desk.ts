import type { Flows, Instant, StaffAction } from '../core/mod.ts';
import type { StaffDesk } from '../edges/channels/telegram/channel.ts';
import type { Desk } from '../edges/desk/desk.ts';
import type { Store } from '../edges/store/types.ts';
import { staffCommand } from './commands.ts';

/** Brings what staff do in their chat to the desk: a press goes to the owner whose request it names. */
export function staffDesk(means: { store: Store; desk: Desk; flows: Flows; now: () => Instant }): StaffDesk {
  const { store, desk, flows, now } = means;
  const say = (address: string, text: string, externalId: string) =>
    store.transaction((tx) => tx.addNotice({ externalId, channel: 'telegram', address, text, at: now() }));
  return {
    isStaffChat: (chat) => store.access.isStaffChat('telegram', chat),
    async receive(event) {
      const answerTo = { channel: 'telegram' as const, address: event.chat };
      if (event.kind === 'link') {
        const linked = await store.access.linkStaffChat(event.code, answerTo, now());
        await say(
          event.chat,
          flows.texts.say('en', linked.linked ? 'staff-chat-linked' : 'staff-chat-not-linked'),
          event.externalId,
        );
        return;
      }
      if (event.kind === 'text') {
        const { externalId } = event;
        const command = await staffCommand(event.text, { store, flows, now, by: event.by.name, externalId });
        if (!command) return;
        if (command.kind === 'words') return say(event.chat, command.text, event.externalId);
        const { ownerId, action: wanted } = command;
        return desk.receiveStaff({
          externalId: event.externalId,
          ownerId,
          at: event.at,
          by: event.by,
          action: wanted,
          answerTo,
        });
      }
      const action: StaffAction = event.action;
      const view = await store.views.request(event.action.requestId);
      if (!view) return say(event.chat, flows.texts.say('en', 'staff-no-request'), event.externalId);
      await desk.receiveStaff({
        externalId: event.externalId,
        ownerId: view.owner.id,
        at: event.at,
        by: event.by,
        action,
        answerTo,
      });
    },
    moved: (from, to) => store.transaction((tx) => tx.moveAddress('telegram', from, to)),
  };
}
