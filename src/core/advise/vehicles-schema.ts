import { z } from 'zod';

/** Designs of the fuel system, by the pump or the injector that makes the pressure. */
export const FUEL_SYSTEM_DESIGNS = [
  'two-plunger',
  'three-plunger',
  'other-common-rail',
  'oil-actuated',
  'rotary',
  'inline-mechanical',
] as const;
export type FuelSystemDesign = (typeof FUEL_SYSTEM_DESIGNS)[number];

/** Equipment that some engines have and others have not. */
export const EQUIPMENT_PARTS = ['egrCooler', 'particulateFilter', 'exhaustFluid', 'breather'] as const;

/** `some`: part of the trucks of these years has it. */
export const EQUIPMENT = ['yes', 'no', 'some'] as const;
export type Equipment = (typeof EQUIPMENT)[number];

const year = z.number().int().min(1994, 'the book starts at model year 1994').max(2100);
const id = z.string().regex(/^[a-z0-9.-]+$/, 'expected an id of small letters, digits, dots and hyphens');
const source = z.string().min(1, 'say where it comes from: a source, "from memory" or "common practice, no source"');
const miles = z.number().int().positive();
const hours = z
  .number()
  .min(0)
  .max(100)
  .refine((value) => Math.abs(value * 10 - Math.round(value * 10)) < 1e-9, 'hours stand in tenths');
/** Low and high end of labour hours, in tenths. */
export const HoursRange = z
  .tuple([hours, hours])
  .refine(([low, high]) => low <= high, 'the low end stands above the high end');
export const InBothLanguages = z.strictObject({ en: z.string().min(1), es: z.string().min(1) });
export type InBothLanguages = z.infer<typeof InBothLanguages>;

const years = z.strictObject({ from: year, to: z.union([year, z.literal('now')]) });

/** A part's own source; the engine's holds where it names none. */
const own = source.optional();

const dieselFamily = z.strictObject({
  id,
  years,
  fuelSystem: z.strictObject({ design: z.enum(FUEL_SYSTEM_DESIGNS), certain: z.boolean(), source: own }),
  egrCooler: z.strictObject({ fitted: z.enum(EQUIPMENT), source: own }),
  particulateFilter: z.strictObject({ fitted: z.enum(EQUIPMENT), source: own }),
  exhaustFluid: z.strictObject({ fitted: z.enum(EQUIPMENT), source: own }),
  breather: z.strictObject({ fitted: z.enum(EQUIPMENT), miles: miles.optional(), source: own }),
  fuelFilter: z.strictObject({
    miles,
    oilChanges: z.number().int().positive().optional(),
    months: z.number().int().positive().optional(),
    source: own,
  }),
  oil: z.strictObject({ miles, months: z.number().int().positive(), source: own }),
  kit: z
    .strictObject({
      certain: z.boolean(),
      labourHours: HoursRange,
      extraReturnFitting: z.boolean(),
      /** Whether the intake manifold comes off for it, so that what lies under it can be looked at. */
      opensIntake: z.boolean(),
      bracket: id,
      source: own,
    })
    .optional(),
  recallHint: InBothLanguages.extend({ source: own }).optional(),
});

const engineBase = {
  id,
  litres: z.number().positive().max(30),
  cylinders: z.number().int().min(1).max(16),
  layout: z.enum(['V', 'I']),
  /** Years in which two families were built side by side; any other overlap is a mistake. */
  changeovers: z.array(z.strictObject({ year, because: z.string().min(1) })).default([]),
  /** Years in which the engine was not sold; any other gap is a mistake. */
  pauses: z.array(z.strictObject({ from: year, to: year, because: z.string().min(1) })).default([]),
  source,
};

const engine = z.discriminatedUnion('fuel', [
  z.strictObject({ ...engineBase, fuel: z.literal('diesel'), families: z.array(dieselFamily).min(1) }),
  z.strictObject({
    ...engineBase,
    fuel: z.literal('gasoline'),
    families: z.array(z.strictObject({ id, years })).min(1),
  }),
]);

/** One file of flows/vehicles/. */
export const VehiclesFile = z.strictObject({ engines: z.array(engine).min(1) });
export type VehiclesFile = z.infer<typeof VehiclesFile>;
