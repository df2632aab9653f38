import { backlogDays, flowsWithBacklog, type Flows, type Instant } from './core/mod.ts';
import type { Store } from './edges/store/types.ts';

/** What follow-ups are planned by: the shop's settings, with the lead time that its diary shows. */
export interface ShopBacklog {
  flows(): Flows;
  /** Looks into the diary again; a full diary counts as far as the shop books. */
  refresh(): Promise<void>;
}

export function shopBacklog(store: Store, flows: Flows, now: () => Instant): ShopBacklog {
  let present = flows;
  return {
    flows: () => present,
    async refresh() {
      const at = now();
      const { horizonDays } = flows.shop.booking;
      const day = (days: number) => new Date(Date.parse(at) + days * 86_400_000).toISOString().slice(0, 10);
      const diary = await store.transaction((tx) => tx.loadDiary(day(-1), day(horizonDays + 14), flows.shop.zone, at));
      present = flowsWithBacklog(flows, backlogDays(diary.taken, flows, at) ?? horizonDays);
    },
  };
}
