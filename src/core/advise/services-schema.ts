import { z } from 'zod';
import { SERVICES } from '../model/ids.ts';
import { EQUIPMENT_PARTS, FUEL_SYSTEM_DESIGNS, HoursRange, InBothLanguages } from './vehicles-schema.ts';

const id = z.string().regex(/^[a-z0-9.-]+$/, 'expected an id of small letters, digits, dots and hyphens');
const dollars = z
  .number()
  .min(0)
  .max(100_000)
  .refine((value) => Math.abs(value * 100 - Math.round(value * 100)) < 1e-6, 'prices stand in whole cents');
const PriceRange = z
  .tuple([dollars, dollars])
  .refine(([low, high]) => low <= high, 'the low end stands above the high end');
const someIds = z.array(id).min(1);
/** Which engines or single families an entry is for. */
const forWhom = { engines: someIds.optional(), families: someIds.optional() };

/** A labour step or a part, with the figure that differs by family. */
const item = <Key extends string, Figure extends z.ZodType>(key: Key, figure: Figure) => ({
  id,
  name: InBothLanguages,
  ...({ [key]: figure } as Record<Key, Figure>),
  source: z.string().min(1).optional(),
});

export const StepsFile = z.strictObject({
  steps: z
    .array(
      z.strictObject({
        ...item('hours', HoursRange),
        doneWith: someIds.optional(),
        for: z
          .array(z.strictObject({ ...forWhom, hours: HoursRange, source: z.string().min(1).optional() }))
          .default([]),
      }),
    )
    .min(1),
});
export type StepsFile = z.infer<typeof StepsFile>;

export const PartsFile = z.strictObject({
  parts: z
    .array(
      z.strictObject({
        ...item('price', PriceRange),
        for: z
          .array(z.strictObject({ ...forWhom, price: PriceRange, source: z.string().min(1).optional() }))
          .default([]),
      }),
    )
    .min(1),
});
export type PartsFile = z.infer<typeof PartsFile>;

export const SERVICE_KINDS = ['diagnosis', 'inspection', 'maintenance', 'repair', 'transport'] as const;
export type ServiceKind = (typeof SERVICE_KINDS)[number];

const content = { steps: someIds, parts: z.array(id).default([]) };
export const CatalogueFile = z.strictObject({
  services: z.array(
    z.strictObject({
      id: z.enum(SERVICES),
      kind: z.enum(SERVICE_KINDS),
      /** Done on a gasoline truck too. */
      anyFuel: z.boolean().default(false),
      name: InBothLanguages,
      description: InBothLanguages,
      fits: z
        .union([
          z.strictObject({ fuelSystem: z.array(z.enum(FUEL_SYSTEM_DESIGNS)).min(1) }),
          z.strictObject({ fitted: z.enum(EQUIPMENT_PARTS) }),
        ])
        .optional(),
      /** Where the named check is in the list too, the service waits for what it finds, and is done only if `says`. */
      onlyIf: z.strictObject({ check: z.enum(SERVICES), says: InBothLanguages }).optional(),
      ...content,
      for: z.array(z.strictObject({ ...forWhom, ...content })).default([]),
    }),
  ),
});
export type CatalogueFile = z.infer<typeof CatalogueFile>;

export const TermsFile = z.strictObject({
  labourRate: dollars.refine((value) => value > 0, 'the labour rate must be above zero'),
  source: z.string().min(1),
  leftOut: z.array(InBothLanguages.extend({ when: z.enum(['always', 'diagnosis']).default('always') })).min(1),
  breakEven: z.strictObject({
    kit: z.enum(SERVICES),
    repair: z.enum(SERVICES),
    notSaved: z.strictObject({ steps: someIds, parts: someIds }),
    source: z.string().min(1),
  }),
});
export type TermsFile = z.infer<typeof TermsFile>;
