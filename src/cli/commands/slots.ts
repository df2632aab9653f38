import { compileServices, compileVehicles, familiesFor, labourOf } from '../../core/advise/mod.ts';
import { compileShop } from '../../core/book/mod.ts';
import { compileTexts } from '../../core/model/texts.ts';
import { readFlowsFolder } from '../../flows-folder.ts';
import type { Answer } from '../lines.ts';
import { slots } from '../slots.ts';
import { orExit } from './flows.ts';

export function load(): Answer {
  const files = readFlowsFolder();
  const vehicles = orExit(compileVehicles(files));
  const services = orExit(compileServices(files, vehicles));
  const means = {
    shop: orExit(compileShop(files)),
    texts: orExit(compileTexts(files.filter(({ path }) => path.includes('/texts/')))),
    hoursOf: (ids: Parameters<typeof labourOf>[0], facts: Parameters<typeof familiesFor>[0]) =>
      labourOf(ids, familiesFor(facts, vehicles), services).bundle.labourHours.high,
  };
  return (line) => slots(line, means);
}
