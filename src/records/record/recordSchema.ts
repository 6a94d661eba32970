/**
 * The shape of `record --json`, for the published JSON Schema. `recordData` is held to it by the compiler, both ways, and
 * its output by the tests.
 */
import { z } from 'zod';
import type { recordData } from './recordJson.ts';

/** Decimal grams as text, so that no reader loses digits. */
const grams = z
  .string()
  .regex(/^-?\d{1,10}\.\d{3,6}$/)
  .meta({
    id: 'grams',
    description: 'Grams as decimal text, with three to six decimals: no digit is lost or made up.',
  });
const gramsOrNull = grams.nullable();
const time = z
  .string()
  .regex(/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}[+-]\d\d:\d\d$/)
  .meta({ id: 'time', description: 'Local time with its offset from UTC: 2026-11-25T10:00:23.120+01:00.' });
const timeOrNull = time.nullable();
const hash = z.string().regex(/^[0-9a-f]{64}$/);
const text = z.string();
const count = z.int().min(0);
const ppm = z.int().min(0);
const stepKind = z.enum(['melt', 'whisk', 'combine', 'rinse', 'mix', 'rest', 'press', 'check', 'sum', 'jar']);
const way = z.enum(['add', 'subtract', 'cup']);
const where = { at: time, by: text };

const draw = z
  .strictObject({
    draw: text,
    ingredient: text,
    name: text,
    inci: text,
    phase: text,
    vessel: text,
    scale: text,
    way: way.meta({ description: 'Into the vessel, out of its jar, or into a cup that was tipped and weighed back.' }),
    lot: text,
    target_g: grams,
    low_g: grams.meta({ description: 'The lowest net weight that its band accepts.' }),
    high_g: grams.meta({ description: 'The highest net weight that its band accepts.' }),
    before_g: grams.meta({ description: 'What stood on the pan before, against the empty pan.' }),
    after_g: grams,
    taken_g: grams.meta({ description: 'What left the lot.' }),
    net_g: grams.meta({ description: 'What was weighed.' }),
    bowl_g: gramsOrNull.meta({ description: 'What reached the vessel; null while a cup is not tipped, or never was.' }),
    residue_g: gramsOrNull.meta({ description: 'What stayed in the cup; null for other ways.' }),
    stuck_g: grams.meta({ description: 'What of it stuck to vessels that were emptied into others, as weighed back.' }),
    uncertainty_g: grams.meta({ description: 'Expanded, about 95 %.' }),
    coverage_factor: z.number().min(1).meta({ description: 'The factor k that it was expanded by.' }),
    budget_g: z
      .strictObject({ rounding: grams, repeatability: grams, drift: grams, check: grams })
      .meta({ description: 'What the uncertainty is made of: standard uncertainties.' }),
    doubt_g: gramsOrNull.meta({
      description: 'By how much, at most, net_g may be off as the zero moved: above zero where it may be more.',
    }),
    accepted: z.enum(['dwell', 'key', 'keyed']).meta({
      description: 'By standing at rest in its band, by a key, or keyed in from a scale without a cable.',
    }),
    witness: text.nullable().meta({ description: 'The second person who looked at it.' }),
    label_read: z.boolean().meta({ description: 'The label of its jar was read before, and was the right one.' }),
    ...where,
    notes: z.array(text),
    trace: z
      .strictObject({
        midway: z.boolean().meta({ description: 'The pour had begun before the first point.' }),
        ms: z.array(count).readonly().meta({ description: 'Milliseconds since the first point, rising.' }),
        net_g: z.array(grams).meta({ description: 'What the scale showed at each of these times.' }),
      })
      .nullable()
      .meta({ description: 'How it was poured, in few points; null where that was not kept.' }),
  })
  .meta({ id: 'draw', description: 'An accepted weighing of one ingredient out of one lot.' });

const check = z.strictObject({
  as_of: time,
  checked_at: timeOrNull,
  that_day: z.boolean(),
  passed: z.boolean().nullable(),
  slope_ppm: ppm.nullable(),
  repeatability_g: gramsOrNull,
  says: text,
});

const bar = z.strictObject({
  bar: z.int().min(1),
  net_g: grams,
  uncertainty_g: grams,
  scale: text,
  verdict: z.enum(['in', 'under', 'over', 'short']),
  counted: z.enum(['lift', 'key']),
  pulled: text.nullable().meta({ description: 'Why it was taken out of the lot; null while it is in.' }),
  back_in_mix: z.boolean(),
  pressed_again: count,
  jams: count,
  again: z
    .array(z.strictObject({ scale: text, ...where, net_g: grams, uncertainty_g: grams }))
    .meta({ description: 'Weighed once more after it had dried for a while.' }),
  ...where,
});

const portioning = z.strictObject({
  scale: text,
  set_point_g: grams,
  low_g: grams,
  high_g: grams,
  label_g: gramsOrNull,
  mix_g: gramsOrNull.meta({ description: "What there was to make bars of, by the batch's own weighings." }),
  started: time,
  ended: timeOrNull,
  in_lot: count.meta({ description: 'Bars that are neither pulled nor short.' }),
  bars: z.array(bar),
  left_over: z.array(
    z.strictObject({ what: z.enum(['offcut', 'crumbs']), scale: text, ...where, net_g: grams, uncertainty_g: grams }),
  ),
});

const money = z.string().regex(/^-?\d+\.\d{2,4}$/);

export const recordSchema = z
  .strictObject({
    batch: text,
    formula: text,
    formula_name: text,
    version: text,
    status: z.enum(['open', 'finished', 'abandoned']),
    mass_g: grams.meta({ description: 'What was to be weighed in all.' }),
    bars: z.int().min(1).nullable(),
    bar_g: gramsOrNull,
    loss_ppm: ppm,
    started: time,
    finished: timeOrNull,
    abandoned: z.strictObject({ at: timeOrNull, reason: text.nullable() }).nullable(),
    operators: z.array(text).readonly(),
    draws: z.array(draw).meta({ description: 'What is in the batch, in the order of weighing.' }),
    given_up: z.array(draw).meta({ description: 'What was accepted and is not in the batch.' }),
    discarded: z.array(z.strictObject({ draw: text, lot: text, reason: text, ...where, amount_g: grams })),
    over_pours: z
      .array(
        z.strictObject({
          draw: text,
          name: text,
          lot: text,
          scale: text,
          ...where,
          end: z.enum(['taken back', 'kept', 'batch scaled up', 'thrown away', 'vessel given up', 'open']),
          why: text.nullable(),
          ended: timeOrNull,
          ended_by: text.nullable(),
          net_g: grams.meta({ description: 'The largest net weight that stood there at rest.' }),
          over_g: grams,
        }),
      )
      .meta({ description: 'Too much on the pan, and what was done about it.' }),
    steps: z.array(
      z.strictObject({
        step: text,
        phase: text,
        say: text,
        begun: timeOrNull,
        done: timeOrNull,
        bursts: count,
        by: text,
        kind: stepKind.nullable(),
        weighed_back: z
          .strictObject({ vessel: text, scale: text, residue_g: grams, uncertainty_g: grams })
          .nullable()
          .meta({ description: 'What stuck to a vessel that was emptied.' }),
      }),
    ),
    sums: z
      .array(
        z.strictObject({
          step: text,
          vessel: text,
          scale: text,
          suspects: z
            .array(
              z.strictObject({ what: z.enum(['missing', 'twice', 'from-elsewhere']), draws: z.array(text).readonly() }),
            )
            .readonly(),
          reason: text.nullable(),
          seq: z.int().min(1),
          ...where,
          expected_g: grams,
          found_g: grams,
          allowed_g: grams,
        }),
      )
      .meta({ description: 'Vessels weighed as a whole against the sum of their draws.' }),
    scales: z.array(
      z.strictObject({
        scale: text,
        capacity_g: grams,
        d_g: grams,
        repeatability_g: gramsOrNull,
        keyed: z.boolean(),
        checks: z.array(check),
      }),
    ),
    scale_events: z
      .array(z.strictObject({ scale: text, draw: text.nullable(), say: text, lost: time, back: timeOrNull }))
      .readonly(),
    zero_shifts: z.array(z.strictObject({ scale: text, draws: z.array(text).readonly(), at: time, shift_g: grams })),
    resumed: z.array(z.strictObject(where)).readonly(),
    measured: z.array(z.strictObject({ step: text.nullable(), what: text, value: text, ...where })),
    corrections: z
      .array(
        z.strictObject({
          seq: z.int().min(1),
          corrects: z.int().min(1),
          about: text,
          note: text,
          reason: text,
          ...where,
        }),
      )
      .readonly(),
    deviations: z.array(text).readonly(),
    lots: z.array(
      z.strictObject({
        lot: text,
        ingredient: text,
        taken_g: grams,
        bowl_g: grams,
        waste_g: grams,
        used_up: z.boolean(),
      }),
    ),
    totals: z.strictObject({
      target_g: grams,
      net_g: grams,
      bowl_g: grams,
      stuck_g: grams,
      difference_g: grams,
      taken_g: grams,
      waste_g: grams,
    }),
    other_benches: z
      .array(
        z.strictObject({
          number: z.int().min(1),
          phases: z.array(text).readonly(),
          bench: text,
          handed_over: time,
          end: z.enum(['at the other bench', 'brought in', 'taken back', 'weighed again here']),
          reason: text.nullable(),
          part: z
            .strictObject({ batch: text, last_seq: z.int().min(1), last_hash: hash, at: time })
            .nullable()
            .meta({
              description: 'The part as the other bench has it, and its last fact; null where none was brought in.',
            }),
        }),
      )
      .meta({
        description: 'Phases that were handed to other benches. Their scales are named with the bench: dye_room/fine.',
      }),
    part_of: z
      .strictObject({ bench: text, batch: text, number: z.int().min(1) })
      .nullable()
      .meta({ description: 'The batch of another bench that this is a part of; null for a batch of its own.' }),
    portioning: portioning.nullable().meta({ description: 'The bars; null when none were weighed off.' }),
    cost: z
      .strictObject({
        currency: text.nullable(),
        material: money,
        per_bar: money.nullable(),
        waste: money,
        unpriced: z.array(text).readonly(),
        lots: z.array(
          z.strictObject({ ingredient: text, lot: text, price_per_kg: text.nullable(), cost: money, waste: money }),
        ),
      })
      .nullable()
      .meta({ description: 'Material only; null when no price is known.' }),
    last_seq: z.int().min(1),
    last_hash: hash,
    last_at: time.meta({ description: 'When the last fact was: the record tells what was known then.' }),
  })
  .meta({ title: 'Batch record', description: 'What `bismar record --json` prints. New fields may be added.' });

type Same<A, B> = [A] extends [B] ? ([B] extends [A] ? true : false) : false;
// Fails to compile when the schema and the record drift apart.
true satisfies Same<z.infer<typeof recordSchema>, ReturnType<typeof recordData>>;
