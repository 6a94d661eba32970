/** The shape of stored facts about phases that another bench weighs, checked like all others (`readFact.ts`). */
import { z } from 'zod';
import { placeSchema } from './readPlace.ts';
import { nameSchema } from './readPlan.ts';

const number = z.int().min(1);

const UUID = /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/;
export const benchSchema = z.string().regex(UUID, "expected a bench's id");

export const sealSchema = z.strictObject({ seq: z.int().min(1), hash: z.string().regex(/^[0-9a-f]{64}$/) });

/** One schema for each kind; what was brought in is in `readFact.ts`, as it holds facts itself. */
export const handOverSchemas = [
  z.strictObject({
    ...placeSchema,
    kind: z.literal('handed-over'),
    number,
    phases: z.array(nameSchema).min(1).readonly(),
    to: nameSchema,
  }),
  z.strictObject({ ...placeSchema, kind: z.literal('calling-back'), number }),
  z.strictObject({ ...placeSchema, kind: z.literal('called-back'), number, reason: nameSchema.nullable() }),
  z.strictObject({
    ...placeSchema,
    kind: z.literal('joined'),
    bench: benchSchema,
    role: nameSchema,
    of: nameSchema,
    number,
    seal: sealSchema,
    broughtInto: nameSchema.optional(),
  }),
  z.strictObject({ ...placeSchema, kind: z.literal('join-confirmed') }),
] as const;
