import { readFlowsFolder } from '../../flows-folder.ts';
import { lexiconOf } from '../kept-lexicon.ts';
import type { Answer } from '../lines.ts';
import { readCommand } from '../read.ts';
import { orExit } from './flows.ts';

export const load = async (): Promise<Answer> =>
  readCommand(orExit(await lexiconOf(readFlowsFolder().filter(({ path }) => path.includes('/language/')))));
