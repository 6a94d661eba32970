/** The shape of stored facts about bars, checked like all others (`readFact.ts`). */
import { z } from 'zod';
import { budgetSchema, placeSchema } from './readPlace.ts';
import { amountSchema, massSchema, nameSchema } from './readPlan.ts';

const barNumber = z.int().min(1).max(1_000_000);

const setPointInBand = ({ setPoint, low, high }: { setPoint: number; low: number; high: number }) =>
  low <= setPoint && setPoint <= high;

/** One schema for each kind. */
export const barFactSchemas = [
  z
    .strictObject({
      ...placeSchema,
      kind: z.literal('portioning-started'),
      scale: nameSchema,
      setPoint: amountSchema,
      low: amountSchema,
      high: amountSchema,
      label: amountSchema.nullable(),
      mix: amountSchema.nullable(),
    })
    .refine(setPointInBand, { error: 'the set-point is outside its band', path: ['setPoint'] }),
  z.strictObject({
    ...placeSchema,
    kind: z.literal('bar'),
    bar: barNumber,
    net: amountSchema,
    scale: nameSchema,
    zero: massSchema,
    uncertainty: amountSchema,
    coverage: z.number().min(1).max(20),
    budget: budgetSchema.optional(),
    verdict: z.enum(['in', 'under', 'over', 'short']),
    how: z.enum(['lift', 'key']),
  }),
  z.strictObject({
    ...placeSchema,
    kind: z.literal('bar-pulled'),
    bar: barNumber,
    reason: z.string(),
    back: z.boolean(),
  }),
  z.strictObject({ ...placeSchema, kind: z.literal('bar-pressed'), bar: barNumber, why: z.enum(['again', 'jam']) }),
  z.strictObject({
    ...placeSchema,
    kind: z.literal('left-over'),
    what: z.enum(['offcut', 'crumbs']),
    net: amountSchema,
    scale: nameSchema,
    uncertainty: amountSchema,
  }),
  z.strictObject({ ...placeSchema, kind: z.literal('portioning-ended') }),
  z.strictObject({
    ...placeSchema,
    kind: z.literal('bar-weighed-again'),
    bar: barNumber,
    net: amountSchema,
    scale: nameSchema,
    uncertainty: amountSchema,
  }),
  z.strictObject({ ...placeSchema, kind: z.literal('bar-again-undone'), bar: barNumber }),
] as const;
