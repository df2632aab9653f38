import { compileLexicon } from '../../core/understand/mod.ts';
import { readFlowsFolder } from '../../flows-folder.ts';
import type { Answer } from '../lines.ts';
import { readCommand } from '../read.ts';
import { orExit } from './flows.ts';

export const load = (): Answer =>
  readCommand(orExit(compileLexicon(readFlowsFolder().filter(({ path }) => path.includes('/language/')))));
