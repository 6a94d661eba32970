/** What stored facts of many kinds have: their place in the log, and the terms of an uncertainty. */
import { z } from 'zod';
import { amountSchema, nameSchema } from './readPlan.ts';

export const AT = /^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}[+-]\d\d:\d\d$/;

/** What every fact has. */
export const placeSchema = {
  batch: nameSchema,
  seq: z.int().min(1),
  at: z.string().regex(AT, 'expected a time such as 2026-11-25T10:00:23.120+01:00'),
  by: nameSchema,
  zeroSeen: z.array(nameSchema).min(1).readonly().optional(),
};

export const budgetSchema = z.strictObject({
  rounding: amountSchema,
  repeatability: amountSchema,
  drift: amountSchema,
  check: amountSchema,
});
