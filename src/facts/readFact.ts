/**
 * Reading a stored fact back. What comes from a disk is not trusted: each kind of fact is checked field by field, so
 * that a damaged or foreign one is told in words and never half used.
 */
import { z } from 'zod';
import { cleanText } from './cleanText.ts';
import type { Fact } from './fact.ts';
import { barFactSchemas } from './readBarFacts.ts';
import { benchSchema, handOverSchemas, sealSchema } from './readHandOverFacts.ts';
import { AT, budgetSchema, placeSchema } from './readPlace.ts';
import { amountSchema, drawSchema, massSchema, nameSchema, planSchema, TOO_MUCH, vesselSchema } from './readPlan.ts';

const place = placeSchema;
const ofLot = { ...place, ingredient: nameSchema, lot: nameSchema };

const zeroUnseen = { zeroUnseen: z.array(nameSchema).min(1).readonly().optional() };

const deviation = z.strictObject({ kind: z.enum(['over', 'under', 'residue']), reason: z.string() }).nullable();

const perSecond = z.int().min(0);

const pourNote = z.strictObject({
  lagMs: z.int().min(1).nullable(),
  stop: z.strictObject({ flow: perSecond, arrived: massSchema, briskest: perSecond, ended: massSchema }).nullable(),
});

const trace = z
  .strictObject({
    midway: z.boolean(),
    ms: z.array(z.int().min(0)).min(2).max(1000).readonly(),
    net: z.array(massSchema).min(2).max(1000).readonly(),
  })
  .refine(({ ms, net }) => ms.length === net.length, { error: 'it has not as many times as weights' })
  .refine(({ ms }) => ms.every((at, index) => at >= (ms[index - 1] ?? 0)), { error: 'its times do not rise' });

const slopePpm = z.int().min(0).nullable();
const slopeStandardPpm = z.int().min(0).optional();

const standing = z.strictObject({
  checkedAt: z.string().regex(AT).nullable(),
  passed: z.boolean().nullable(),
  slopePpm,
  slopeStandardPpm,
  repeatability: amountSchema.nullable(),
  weighings: z.int().min(2).optional(),
});

const checkRow = z.strictObject({
  kind: z.enum(['zero', 'weight', 'repeat', 'corner']),
  nominal: massSchema,
  shown: massSchema,
  permissible: amountSchema,
});

const stepHow = z.enum(['key', 'lifted', 'at-hand', 'put-on', 'tapped']);

const weighedBack = z.strictObject({
  vessel: nameSchema,
  scale: nameSchema,
  load: massSchema,
  residue: amountSchema,
  uncertainty: amountSchema,
});

/** Every fact of what happened at the bench itself. */
export const hereSchema = z.discriminatedUnion('kind', [
  z.strictObject({ ...place, kind: z.literal('batch-started'), plan: planSchema }),
  z.strictObject({ ...place, kind: z.literal('scales-stand'), scales: z.record(nameSchema, standing) }),
  z.strictObject({
    ...place,
    kind: z.literal('scale-checked'),
    scale: nameSchema,
    basis: z.string(),
    rows: z.array(checkRow).readonly(),
    repeatability: amountSchema.nullable(),
    slopePpm,
    slopeStandardPpm,
    passed: z.boolean(),
  }),
  z.strictObject({ ...place, kind: z.literal('gathered') }),
  z.strictObject({ ...place, ...zeroUnseen, kind: z.literal('resumed') }),
  z.strictObject({
    ...place,
    kind: z.literal('placed'),
    draw: nameSchema,
    vessel: nameSchema,
    scale: nameSchema,
    load: massSchema,
    zero: massSchema,
    unusual: z.boolean(),
  }),
  z.strictObject({ ...place, kind: z.literal('held'), draw: nameSchema, net: massSchema, over: amountSchema }),
  z
    .strictObject({
      ...place,
      kind: z.literal('weighed'),
      draw: nameSchema,
      ingredient: nameSchema,
      lot: nameSchema,
      vessel: nameSchema,
      scale: nameSchema,
      way: z.enum(['add', 'subtract', 'cup']),
      target: massSchema,
      low: massSchema,
      high: massSchema,
      before: massSchema,
      after: massSchema,
      net: massSchema,
      takenBack: amountSchema,
      uncertainty: amountSchema,
      coverage: z.number().min(1).max(20).optional(),
      budget: budgetSchema,
      how: z.enum(['dwell', 'key', 'keyed']),
      deviation,
      lotEnded: z.boolean(),
      pour: pourNote.optional(),
      trace: trace.optional(),
      witness: nameSchema.optional(),
    })
    .refine(({ net, takenBack }) => Number.isSafeInteger(net + takenBack), { error: TOO_MUCH, path: ['takenBack'] }),
  z.strictObject({
    ...place,
    kind: z.literal('split'),
    draw: nameSchema,
    why: z.enum(['full', 'lot-ended']),
    nothingYet: z.boolean(),
    rest: drawSchema,
    newVessel: vesselSchema.nullable(),
  }),
  z.strictObject({
    ...place,
    kind: z.literal('tipped'),
    draw: nameSchema,
    vessel: nameSchema,
    residue: massSchema,
    deviation,
  }),
  z.strictObject({
    ...place,
    kind: z.literal('discarded'),
    draw: nameSchema,
    lot: nameSchema,
    amount: amountSchema,
    reason: z.string(),
  }),
  z.strictObject({
    ...place,
    kind: z.literal('given-up'),
    vessel: nameSchema,
    draws: z.array(nameSchema).readonly(),
    reason: z.string(),
  }),
  z
    .strictObject({
      ...place,
      kind: z.literal('rescued'),
      draw: nameSchema.nullable(),
      meant: z.enum(['exact', 'within bands']),
      from: z.strictObject({ mass: amountSchema, bars: z.int().min(1).nullable() }),
      plan: planSchema,
      topUps: z.array(nameSchema).readonly(),
      say: z.string(),
    })
    .superRefine(({ draw, plan, topUps }, context) => {
      const draws = new Set(plan.tasks.flatMap((task) => (task.kind === 'draw' ? [task.id] : [])));
      const lost = (id: string, path: string) => {
        if (!draws.has(id)) context.addIssue({ code: 'custom', path: [path], message: `the plan has no draw ${id}` });
      };
      if (draw !== null) lost(draw, 'draw');
      for (const id of topUps) lost(id, 'topUps');
    }),
  z.strictObject({
    ...place,
    kind: z.literal('step-begun'),
    step: nameSchema,
    burst: z.int().min(0),
    how: stepHow.optional(),
  }),
  z.strictObject({
    ...place,
    kind: z.literal('step-done'),
    step: nameSchema,
    bursts: z.int().min(0),
    how: stepHow.optional(),
    weighedBack: weighedBack.optional(),
  }),
  z.strictObject({
    ...place,
    kind: z.literal('sum-checked'),
    step: nameSchema,
    vessel: nameSchema,
    scale: nameSchema,
    expected: massSchema,
    found: massSchema,
    allowed: amountSchema,
    suspects: z
      .array(
        z.strictObject({
          what: z.enum(['missing', 'twice', 'from-elsewhere']),
          draws: z.array(nameSchema).readonly(),
        }),
      )
      .readonly(),
    reason: z.string().nullable(),
  }),
  z.strictObject({
    ...place,
    kind: z.literal('jar-weighed'),
    step: nameSchema,
    draw: nameSchema,
    lot: nameSchema,
    when: z.enum(['before', 'after']),
    scale: nameSchema,
    load: massSchema,
    left: massSchema.nullable(),
    allowed: amountSchema.nullable(),
    reason: z.string().nullable(),
  }),
  z.strictObject({
    ...place,
    kind: z.literal('undone'),
    corrects: z.int().min(1),
    of: z.enum(['weighed', 'tipped', 'step-done']),
    id: nameSchema,
    how: z.enum(['key', 'put-back']),
  }),
  z.strictObject({
    ...place,
    kind: z.literal('scale-lost'),
    scale: nameSchema,
    draw: nameSchema.nullable(),
    say: z.string(),
  }),
  z.strictObject({ ...place, kind: z.literal('scale-back'), scale: nameSchema, draw: nameSchema.nullable() }),
  z.strictObject({
    ...place,
    kind: z.literal('zero-shifted'),
    scale: nameSchema,
    shift: massSchema,
    draws: z.array(nameSchema).readonly(),
  }),
  z.strictObject({
    ...place,
    kind: z.literal('lot-received'),
    ingredient: nameSchema,
    lot: nameSchema,
    amount: amountSchema,
    pricePerKg: z
      .string()
      .regex(/^\d{1,9}(\.\d{1,6})?$/)
      .nullable(),
    expires: z
      .string()
      .regex(/^\d{4}-\d\d-\d\d$/)
      .nullable(),
    supplierLot: nameSchema.nullable(),
    certificate: nameSchema.nullable(),
    jar: nameSchema.nullable(),
    madeIn: nameSchema.optional(),
  }),
  z.strictObject({
    ...ofLot,
    kind: z.literal('returned'),
    draw: nameSchema,
    amount: amountSchema,
    to: z.enum(['jar', 'aside']),
  }),
  z.strictObject({ ...ofLot, kind: z.literal('lot-blocked'), reason: z.string() }),
  z.strictObject({ ...ofLot, kind: z.literal('lot-released'), reason: z.string() }),
  z.strictObject({
    ...ofLot,
    kind: z.literal('stock-taken'),
    gross: amountSchema,
    tare: amountSchema,
    scale: nameSchema.nullable(),
    found: amountSchema,
    book: massSchema,
    difference: massSchema,
    reason: z.string(),
  }),
  z.strictObject({ ...ofLot, kind: z.literal('lot-short'), draw: nameSchema, book: massSchema, short: amountSchema }),
  z.strictObject({
    ...ofLot,
    kind: z.literal('lot-confirmed'),
    draws: z.array(nameSchema).min(1).readonly(),
    label: z.string(),
  }),
  z.strictObject({
    ...place,
    kind: z.literal('corrected'),
    corrects: z.int().min(1),
    note: z.string(),
    reason: z.string(),
  }),
  z.strictObject({
    ...place,
    kind: z.literal('measured'),
    step: nameSchema.nullable(),
    what: nameSchema,
    value: z.string().regex(/^[+-]?\d{1,12}(\.\d{1,12})?$/),
  }),
  z.strictObject({ ...place, ...zeroUnseen, kind: z.literal('finished') }),
  z.strictObject({ ...place, ...zeroUnseen, kind: z.literal('abandoned'), reason: z.string() }),
  ...barFactSchemas,
  ...handOverSchemas,
]);

/** What another bench weighed holds that bench's own facts, from the start of its part to its end. */
const broughtInSchema = z
  .strictObject({
    ...place,
    kind: z.literal('brought-in'),
    number: z.int().min(1),
    bench: benchSchema,
    role: nameSchema,
    part: nameSchema,
    seal: sealSchema,
    facts: z.array(hereSchema).readonly(),
  })
  .refine(({ facts, part }) => facts[0]?.kind === 'batch-started' && facts.every(({ batch }) => batch === part), {
    error: 'its facts are not those of one part from its start',
    path: ['facts'],
  });

/** Every fact as it stands in the log. */
export const factSchema = z.discriminatedUnion('kind', [hereSchema, broughtInSchema]);

type Same<A, B> = [A] extends [B] ? ([B] extends [A] ? true : false) : false;
// Fails to compile when the schema and the type of facts drift apart.
true satisfies Same<z.infer<typeof factSchema>, Fact>;

/** A fact, or why the text is none: a phrase such as `net: expected int, found string`. */
export type FactRead = { readonly ok: true; readonly fact: Fact } | { readonly ok: false; readonly why: string };

/** Most faults told of one fact; more only hide the first. */
const MOST_FAULTS = 3;

/** Reads the JSON text of a stored fact. Never throws. */
export function readFact(body: string): FactRead {
  let value: unknown;
  try {
    value = JSON.parse(body);
  } catch {
    return { ok: false, why: 'it is not readable as JSON' };
  }
  return checkFact(value);
}

/** Checks a value that should be a whole fact, before it is stored or after it was parsed. Never throws. */
export function checkFact(value: unknown): FactRead {
  const read = factSchema.safeParse(value);
  if (read.success) return { ok: true, fact: read.data };
  const faults = read.error.issues.map(({ path, message }) => {
    const where = path.length > 0 ? `${path.join('.')}: ` : '';
    return cleanText(where + message.replace('Invalid input: ', '').replace(', received ', ', found '));
  });
  const more = faults.length > MOST_FAULTS ? ` (and ${faults.length - MOST_FAULTS} more)` : '';
  return { ok: false, why: faults.slice(0, MOST_FAULTS).join('; ') + more };
}
