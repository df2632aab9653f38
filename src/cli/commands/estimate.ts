import { compileServices, compileVehicles } from '../../core/advise/mod.ts';
import { readFlowsFolder } from '../../flows-folder.ts';
import { estimateLine } from '../estimate.ts';
import type { Answer } from '../lines.ts';
import { orExit } from './flows.ts';

export function load(): Answer {
  const files = readFlowsFolder();
  const services = orExit(compileServices(files, orExit(compileVehicles(files))));
  return (line) => estimateLine(line, { services });
}
