import { forecastLine } from '../forecast.ts';
import type { Answer } from '../lines.ts';

export const load = (): Answer => forecastLine;
