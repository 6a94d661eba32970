/** One entry of a phase's work: a draw or a step. */
import { z } from 'zod';
import type { Workshop } from '../workshop/model.ts';
import { count, plainText, sentence, timeOf } from '../workshop/quantities.ts';
import { knownName, WHOLE } from './checkFormula.ts';
import { type Fraction, fraction } from './fraction.ts';
import type { FormulaDraw, FormulaStep, StepKind } from './model.ts';
import { band } from './readBand.ts';
import { measure } from './readMeasure.ts';
import { activeShare, share } from './readShare.ts';
import type { Counting } from './shares.ts';

const STEPS: readonly Exclude<StepKind, 'jar'>[] = [
  'melt',
  'whisk',
  'combine',
  'rinse',
  'mix',
  'rest',
  'press',
  'check',
  'sum',
];
const ONLY_IN_DRAWS = [
  'share',
  'active',
  'band',
  'over',
  'way',
  'scale',
  'cup',
  'witness',
  'double entry',
  'note',
] as const;
const ONLY_IN_STEPS = ['vessel', 'into', 'for', 'times', 'until', 'measure', 'cautions'] as const;

/** Its schema; draw and step are told apart by the first key. */
export function workSchema(workshop: Workshop, counting: Counting) {
  const vessel = knownName('one of the vessels', workshop.vessels);
  return z
    .strictObject({
      draw: knownName('one of the ingredients', workshop.ingredients).optional(),
      melt: sentence.optional(),
      whisk: sentence.optional(),
      combine: sentence.optional(),
      rinse: sentence.optional(),
      mix: sentence.optional(),
      rest: sentence.optional(),
      press: sentence.optional(),
      check: sentence.optional(),
      sum: sentence.optional(),
      share: share(counting).optional(),
      active: activeShare(counting).optional(),
      band: band.optional(),
      over: z.enum(['never', 'ask', 'forgiving']).optional(),
      way: z.enum(['add', 'subtract', 'cup']).optional(),
      scale: knownName('one of the scales', workshop.scales).optional(),
      cup: vessel.optional(),
      witness: z.boolean().optional(),
      'double entry': z.boolean().optional(),
      note: sentence.optional(),
      vessel: vessel.optional(),
      into: vessel.optional(),
      for: timeOf('30 s', 1_000, 30 * 86_400_000).optional(),
      times: count(100).optional(),
      until: plainText('what ends it, such as `72 C, clear`', 80).optional(),
      measure: measure.optional(),
      cautions: z.array(sentence).optional(),
    })
    .superRefine((entry, context) => {
      const say = (path: string[], message: string) => context.addIssue({ code: 'custom', path, message });
      const steps = STEPS.filter((step) => entry[step] !== undefined);
      if (steps.length + (entry.draw === undefined ? 0 : 1) !== 1) {
        say([], `exactly one of the keys \`draw\`, ${STEPS.map((step) => `\`${step}\``).join(', ')}`);
        return;
      }
      const [step] = steps;
      if (step === undefined) {
        if (entry.share === undefined && entry.active === undefined) say(['share'], 'a share such as `5 %`');
        if (entry.share !== undefined && entry.active !== undefined) say(['active'], 'either `share` or `active`');
        if (entry.active !== undefined && strengthOf(workshop, entry.draw) === undefined) {
          say(['active'], 'an ingredient whose strength the workshop file tells, by its key `active`');
        }
        if (entry.band === undefined) say(['band'], 'a band such as `2 %` or `0.05 g`');
        if (entry.cup !== undefined && entry.way !== undefined && entry.way !== 'cup')
          say(['cup'], 'a cup only with `way: cup`');
      }
      for (const key of step === undefined ? ONLY_IN_STEPS : ONLY_IN_DRAWS) {
        if (entry[key] !== undefined) say([key], `no \`${key}\` in a ${step === undefined ? 'draw' : 'step'}`);
      }
      if (entry.measure !== undefined && step !== 'check') say(['measure'], 'a `measure` only in a `check`');
      if (step !== 'combine' && step !== 'rinse') return;
      const done = step === 'combine' ? 'emptied' : 'rinsed';
      if (entry.vessel === undefined) say(['vessel'], `the vessel that is ${done}`);
      if (entry.into === undefined) say(['into'], 'the vessel that it goes into');
    });
}

export type Entry = z.output<ReturnType<typeof workSchema>>;

/** An ingredient's strength, as a fraction; undefined where the workshop file does not tell it. */
export function strengthOf({ ingredients }: Workshop, ingredient: string | undefined): Fraction | undefined {
  const ppm = ingredients.get(ingredient ?? '')?.active;
  return ppm === undefined ? undefined : fraction(BigInt(ppm), BigInt(WHOLE));
}

/** @param ofBatch the share of a draw, out of the formula's `whole` */
export function toWork(entry: Entry, ofBatch: number): FormulaDraw | FormulaStep {
  if (entry.draw !== undefined && entry.band !== undefined) {
    return {
      kind: 'draw',
      ingredient: entry.draw,
      share: ofBatch,
      tolerance: entry.band,
      over: entry.over ?? 'ask',
      way: entry.way ?? (entry.cup === undefined ? undefined : 'cup'),
      scale: entry.scale,
      cup: entry.cup,
      ...(entry.witness ? { witness: true } : {}),
      ...(entry['double entry'] ? { jar: true } : {}),
      note: entry.note,
    };
  }
  const step = STEPS.find((kind) => entry[kind] !== undefined) ?? 'check';
  return {
    kind: 'step',
    step,
    say: entry[step] ?? '',
    vessel: entry.vessel,
    into: entry.into,
    forMs: entry.for,
    times: entry.times,
    until: entry.until,
    ...(entry.measure === undefined ? {} : { measure: entry.measure }),
    cautions: entry.cautions ?? [],
  };
}
