import { compileAdvice, type AdviceBook } from './advise/mod.ts';
import type { ServiceBook } from './advise/services.ts';
import { compileShop } from './book/mod.ts';
import { compileTalk, type Talk } from './converse/mod.ts';
import {
  compileFollowUp,
  withLead,
  type FollowUpPolicy,
  type ForecastLimits,
  type Parameters,
} from './follow-up/mod.ts';
import { sound, unsound, type Checked, type FlowFile } from './model/checked.ts';
import type { Shop } from './model/shop.ts';
import { compileTexts, type Texts } from './model/texts.ts';
import { compileLexicon } from './understand/compile.ts';
import type { Lexicon } from './understand/read.ts';

/** The checked content of flows/: everything that the shop decides without touching code. */
export interface Flows {
  texts: Texts;
  talk: Talk;
  lexicon: Lexicon;
  advice: AdviceBook;
  services: ServiceBook;
  shop: Shop;
  policy: FollowUpPolicy;
  /** The mileage model, and when its prior may be fitted to the shop's own trucks. */
  parameters: Parameters;
  refit: ForecastLimits;
}

/** The folder of flows/ that a file stands in, or the file's own name at the top. */
const within = (files: readonly FlowFile[], folder: string): FlowFile[] =>
  files.filter(({ path }) => path.includes(`flows/${folder}/`));

/** Checks all of flows/. Every finding of every part is given, so that one run shows all that is to be mended. */
export function compileFlows(files: readonly FlowFile[]): Checked<Flows> {
  const texts = compileTexts(within(files, 'texts'));
  const shop = compileShop(files);
  const lexicon = compileLexicon(within(files, 'language'));
  const advice = compileAdvice(files);
  const followUp = compileFollowUp(files);
  const talk = texts.ok ? compileTalk(within(files, 'conversation'), texts.value) : undefined;
  if (texts.ok && shop.ok && lexicon.ok && advice.ok && followUp.ok && talk?.ok) {
    return sound({
      texts: texts.value,
      talk: talk.value,
      lexicon: lexicon.value,
      advice: advice.value,
      services: advice.value.catalogue,
      shop: shop.value,
      parameters: followUp.value.parameters,
      refit: followUp.value.refit,
      policy: withLead(followUp.value.policies[shop.value.followUp.policy], shop.value.followUp.leadDays),
    });
  }
  return unsound(
    [texts, shop, lexicon, advice, followUp, talk].flatMap((part) => (part && !part.ok ? part.findings : [])),
  );
}
