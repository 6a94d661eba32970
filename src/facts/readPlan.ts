/** The shape of a stored plan, checked when it is read back from the first fact of a batch. */
import { z } from 'zod';
import { mass } from '../mass/mass.ts';
import type { Plan } from '../plan/model.ts';

/** An id or a name: any text but the empty one. */
export const nameSchema = z.string().min(1);
/** What is said of a mass past 2^53 micrograms: sums of it would not be exact. */
export const TOO_MUCH = 'more than 9 007 t can not be counted exactly';
const wholeSchema = () =>
  z.int({ error: ({ code }) => (code === 'too_big' || code === 'too_small' ? TOO_MUCH : undefined) });
/** Any mass or difference of masses: whole micrograms. */
export const massSchema = wholeSchema().transform((ug) => mass(ug));
/** A mass that can't be below zero. */
export const amountSchema = wholeSchema()
  .min(0)
  .transform((ug) => mass(ug));

const aboveZeroSchema = wholeSchema()
  .min(1)
  .transform((ug) => mass(ug));
const textsSchema = z.array(z.string()).readonly();

const scaleSchema = z.strictObject({
  id: nameSchema,
  capacity: aboveZeroSchema,
  d: aboveZeroSchema,
  repeatability: amountSchema.nullable(),
  keyed: z.boolean(),
  bench: nameSchema.optional(),
});

export const vesselSchema = z.strictObject({ id: nameSchema, name: z.string(), tare: amountSchema });

const bandInOrder = ({ low, high }: { low: number; high: number }) => low <= high;
const bandFault = { error: 'the low end of the band is above its high end', path: ['low'] };

export const drawSchema = z
  .strictObject({
    kind: z.literal('draw'),
    id: nameSchema,
    phase: nameSchema,
    ingredient: nameSchema,
    name: z.string(),
    inci: z.string(),
    vessel: nameSchema,
    way: z.enum(['add', 'subtract', 'cup']),
    scale: nameSchema,
    on: nameSchema,
    lot: nameSchema,
    lotOnHand: massSchema,
    target: amountSchema,
    low: massSchema,
    high: amountSchema,
    over: z.enum(['never', 'ask', 'forgiving']),
    uncertainty: amountSchema,
    guard: amountSchema,
    part: z
      .strictObject({
        group: nameSchema,
        index: z.int().min(1),
        of: z.int().min(1),
        target: amountSchema,
        low: massSchema,
        high: amountSchema,
      })
      .refine(bandInOrder, bandFault)
      .nullable(),
    otherLots: z
      .array(z.strictObject({ id: nameSchema, onHand: massSchema }))
      .readonly()
      .optional(),
    witness: z.boolean().optional(),
    why: z.string(),
    cautions: textsSchema,
    note: z.string().nullable(),
  })
  .refine(bandInOrder, bandFault);

const stepSchema = z.strictObject({
  kind: z.literal('step'),
  id: nameSchema,
  phase: nameSchema,
  step: z.enum(['melt', 'whisk', 'combine', 'rinse', 'mix', 'rest', 'press', 'check', 'sum', 'jar']),
  say: z.string(),
  vessel: nameSchema.nullable(),
  into: nameSchema.nullable(),
  jar: z.strictObject({ draw: nameSchema, when: z.enum(['before', 'after']) }).optional(),
  forMs: z.number().min(0).nullable(),
  times: z.int().min(0).nullable(),
  until: z.string().nullable(),
  measure: z.strictObject({ what: nameSchema, from: z.string(), to: z.string() }).optional(),
  cautions: textsSchema,
});

const lotSchema = z.strictObject({
  pricePerKg: z
    .string()
    .regex(/^\d{1,9}(\.\d{1,6})?$/)
    .optional(),
  supplierLot: nameSchema.optional(),
  expires: nameSchema.optional(),
});

const ppmSchema = z.int().min(0).max(1_000_000);

const compositionKeys = {
  madeOf: z
    .array(
      z.union([
        z.strictObject({
          inci: z.string(),
          ppm: ppmSchema,
          us: z.string().optional(),
          colour: z.boolean().optional(),
          nano: z.boolean().optional(),
        }),
        z.strictObject({ of: nameSchema, ppm: ppmSchema }),
      ]),
    )
    .readonly()
    .optional(),
  allergens: z
    .array(z.strictObject({ inci: z.string(), ppm: ppmSchema }))
    .readonly()
    .optional(),
};

const materialSchema = z.strictObject({
  name: z.string(),
  inci: z.string(),
  active: ppmSchema.optional(),
  ...compositionKeys,
  lots: z.record(nameSchema, z.strictObject(compositionKeys)).optional(),
});

/** A whole plan. What its draws and steps name (scale, vessels, phase) must be in it. */
export const planSchema = z
  .strictObject({
    formula: z.strictObject({ id: nameSchema, name: z.string(), version: z.string() }),
    bars: z.int().min(1).nullable(),
    bar: aboveZeroSchema.nullable(),
    lossPpm: z.int().min(0).max(999_999),
    mass: amountSchema,
    phases: z
      .array(z.strictObject({ id: nameSchema, name: z.string(), vessel: nameSchema, mass: amountSchema }))
      .readonly(),
    tasks: z.array(z.discriminatedUnion('kind', [drawSchema, stepSchema])).readonly(),
    scales: z.record(z.string(), scaleSchema),
    vessels: z.record(z.string(), vesselSchema),
    notes: textsSchema,
    cautions: textsSchema,
    people: z.array(nameSchema).readonly().optional(),
    lots: z.record(nameSchema, z.record(nameSchema, lotSchema)).optional(),
    materials: z.record(nameSchema, materialSchema).optional(),
    label: z
      .strictObject({
        net: z
          .strictObject({ number: z.string().regex(/^\d{1,12}(\.\d{1,12})?$/), unit: z.enum(['g', 'kg', 'oz', 'lb']) })
          .optional(),
        use: z.enum(['rinse-off', 'leave-on']).optional(),
        dryingPpm: z.int().min(0).max(999_999).optional(),
      })
      .optional(),
    currency: nameSchema.optional(),
  })
  .superRefine((plan, context) => {
    for (const { path, message } of looseEnds(plan)) context.addIssue({ code: 'custom', path, message });
  });

/** What a plan names but does not hold, and ids used twice. */
function looseEnds(plan: Plan): { path: (string | number)[]; message: string }[] {
  const faults: { path: (string | number)[]; message: string }[] = [];
  const phases = new Set(plan.phases.map((phase) => phase.id));
  const seen = new Set<string>();
  plan.tasks.forEach((task, index) => {
    const fault = (field: string, message: string) => faults.push({ path: ['tasks', index, field], message });
    if (seen.has(task.id)) fault('id', `the id ${task.id} is used twice`);
    seen.add(task.id);
    if (!phases.has(task.phase)) fault('phase', `the plan has no phase ${task.phase}`);
    if (task.kind !== 'draw') return;
    if (!Object.hasOwn(plan.scales, task.scale)) fault('scale', `the plan has no scale ${task.scale}`);
    for (const field of ['vessel', 'on'] as const) {
      if (!Object.hasOwn(plan.vessels, task[field])) fault(field, `the plan has no vessel ${task[field]}`);
    }
  });
  return faults;
}

type Same<A, B> = [A] extends [B] ? ([B] extends [A] ? true : false) : false;
// Fails to compile when the schema and the model drift apart.
true satisfies Same<z.infer<typeof planSchema>, Plan>;
