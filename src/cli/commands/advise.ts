import { compileAdvice } from '../../core/advise/mod.ts';
import { readFlowsFolder } from '../../flows-folder.ts';
import { adviseCommand } from '../advise.ts';
import type { Answer } from '../lines.ts';
import { orExit } from './flows.ts';

export const load = (): Answer => adviseCommand(orExit(compileAdvice(readFlowsFolder())));
