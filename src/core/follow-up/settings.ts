import { z } from 'zod';
import { sound, unsound, type Checked, type FlowFile } from '../model/checked.ts';
import { parseFlowYaml } from '../model/flow-yaml.ts';
import { PARAMETERS, type Parameters } from './parameters.ts';
import type { ForecastLimits } from './refit.ts';
import { FollowUpPolicy } from './policy.ts';

const FILE = 'flows/follow-up.yaml';

/** The named settings that a shop chooses between; lead days come from its own file. */
export const POLICY_NAMES = ['closer-to-due', 'fewer-messages'] as const;
export type PolicyName = (typeof POLICY_NAMES)[number];

export interface FollowUpSettings {
  policies: Record<PolicyName, FollowUpPolicy>;
  /** When the prior may be fitted to the shop's own trucks. */
  refit: ForecastLimits;
  /** The mileage model, with the shop's own prior where one was fitted and kept. */
  parameters: Parameters;
}

const Coefficients = z.strictObject({
  constant: z.number(),
  lifetime: z.number(),
  age: z.number(),
  stated: z.number(),
  k0: z.number().gt(1).max(100),
});

const Settings = z.strictObject({
  policies: z.record(z.enum(POLICY_NAMES), FollowUpPolicy),
  refit: z.strictObject({
    minimumTrucks: z.number().int().min(20, 'fewer than 20 trucks tell nothing about a prior'),
    minimumDays: z.number().int().min(30),
    mustImproveBy: z.number().min(0).max(1),
  }),
  /** The shop's own prior, as `telltale calibration` writes it. Without it the built-in one serves: the way back. */
  prior: z.strictObject({ withStated: Coefficients.optional(), withoutStated: Coefficients.optional() }).optional(),
});

/** Reads and checks flows/follow-up.yaml among the files of flows/. */
export function compileFollowUp(files: readonly FlowFile[]): Checked<FollowUpSettings> {
  const file = files.find(({ path }) => path.endsWith('follow-up.yaml'));
  if (!file)
    return unsound([{ file: FILE, line: 1, message: 'the file is missing: it says when to ask and to offer' }]);
  const parsed = parseFlowYaml(file, Settings);
  if (!parsed.ok) return parsed;
  const { policies, refit, prior } = parsed.value.value;
  return sound({
    policies,
    refit,
    parameters: {
      ...PARAMETERS,
      prior: {
        withStated: prior?.withStated ?? PARAMETERS.prior.withStated,
        withoutStated: prior?.withoutStated ?? PARAMETERS.prior.withoutStated,
      },
    },
  });
}
