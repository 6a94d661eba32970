/** Reads a formula's file and checks it against the workshop that is to make it. */
import { z } from 'zod';
import { divideRounded } from '../mass/rounding.ts';
import type { Workshop } from '../workshop/model.ts';
import { type Problem, readYaml } from '../workshop/problems.ts';
import { count, massOf, nameText, percent, plainText, sentence, timeOf } from '../workshop/quantities.ts';
import { checkCombining, checkLimits, checkPhaseNames, type Fault, knownName, WHOLE } from './checkFormula.ts';
import { type Fraction, fraction } from './fraction.ts';
import type { Ceiling, Formula, FormulaDraw, FormulaStep, Phase, StepKind } from './model.ts';
import { band } from './readBand.ts';
import { labelKey } from './readLabel.ts';
import { measure } from './readMeasure.ts';
import { activeShare, countingOf, share } from './readShare.ts';
import {
  asWholeNumbers,
  type Counting,
  type Resolved,
  resolveShares,
  type WrittenDraw,
  type WrittenPhase,
  type WrittenShare,
} from './shares.ts';

const STEPS: readonly StepKind[] = ['melt', 'whisk', 'combine', 'rinse', 'mix', 'rest', 'press', 'check', 'sum'];
const ONLY_IN_DRAWS = ['share', 'active', 'band', 'over', 'way', 'scale', 'cup', 'witness', 'note'] as const;
const ONLY_IN_STEPS = ['vessel', 'into', 'for', 'times', 'until', 'measure', 'cautions'] as const;
/** The most tasks that one batch is walked through. */
const MOST_WORK = 200;

/** One entry of a phase's work: a draw or a step, told apart by its first key. */
function workSchema(workshop: Workshop, counting: Counting) {
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

type Entry = z.output<ReturnType<typeof workSchema>>;

function strengthOf({ ingredients }: Workshop, ingredient: string | undefined): Fraction | undefined {
  const ppm = ingredients.get(ingredient ?? '')?.active;
  return ppm === undefined ? undefined : fraction(BigInt(ppm), BigInt(WHOLE));
}

/** @param ofBatch the share of a draw, out of the formula's `whole` */
function toWork(entry: Entry, ofBatch: number): FormulaDraw | FormulaStep {
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

function limitSchema(workshop: Workshop) {
  const ingredient = knownName('one of the ingredients', workshop.ingredients);
  return z
    .strictObject({
      of: z.union(
        [ingredient.transform((one) => [one]), z.array(ingredient).min(1)],
        'an ingredient, or a list of them',
      ),
      most: percent('1 %', (ppm) => (ppm > 0 && ppm <= WHOLE ? undefined : 'a level above 0 % and at most 100 %')),
      dried: percent('4.5 %', (ppm) => {
        return ppm >= 0 && ppm <= WHOLE / 2 ? undefined : 'a loss in drying of 0 % to 50 %';
      }).optional(),
      why: plainText('where the level comes from, such as `the safety assessment`', 80),
    })
    .transform(({ of, most, dried, why }): Ceiling => ({ ingredients: of, ppm: most, dryingPpm: dried ?? 0, why }));
}

function formulaSchema(workshop: Workshop, counting: Counting) {
  const phase = z.strictObject({
    phase: z.string('a letter such as `A`').regex(/^[A-Za-z]{1,3}$/, 'one to three letters such as `A`'),
    name: nameText,
    share: share(counting).optional(),
    vessel: knownName('one of the vessels', workshop.vessels),
    work: z.array(workSchema(workshop, counting)).min(1).max(MOST_WORK),
  });
  return z
    .strictObject({
      name: nameText,
      version: plainText('a version such as `3`', 20),
      bar: massOf('75 g').optional(),
      bars: count(10_000).optional(),
      batch: massOf('2.5 kg').optional(),
      loss: percent('3 %', (ppm) => (ppm >= 0 && ppm <= WHOLE / 2 ? undefined : 'a loss of 0 % to 50 %')).optional(),
      cautions: z.array(sentence).optional(),
      limits: z.array(limitSchema(workshop)).max(MOST_WORK).optional(),
      label: labelKey.optional(),
      shares: z.enum(['percent', 'parts'], '`percent` or `parts`').optional(),
      phases: z.array(phase).min(1).max(26),
    })
    .superRefine(({ bar, bars, batch, shares, phases, limits }, context) => {
      const say = ({ path, expected, hint }: Fault) =>
        context.addIssue({
          code: 'custom',
          path,
          message: expected,
          ...(hint === undefined ? {} : { params: { hint } }),
        });
      if (bars !== undefined && bar === undefined) say({ path: ['bar'], expected: 'the weight of one bar' });
      if (bars !== undefined && batch !== undefined) {
        say({ path: ['batch'], expected: 'either `bars` or `batch`, not both' });
      }
      const resolved = sharesOf(workshop, phases, shares);
      const { shares: ofBatch, whole } = resolved?.ok ? asWholeNumbers(resolved.shares) : NO_SHARES;
      const read = toPhases(phases, ofBatch);
      const faults = [
        ...checkPhaseNames(phases),
        ...(resolved && !resolved.ok ? resolved.faults : []),
        ...checkCombining(read),
        // A limit that is itself at fault was told and not transformed: there is nothing to hold the formula against.
        ...(resolved?.ok
          ? checkLimits(
              read,
              (limits ?? []).filter((limit) => Array.isArray(limit.ingredients)),
              whole,
            )
          : []),
      ];
      for (const fault of faults) say(fault);
    });
}

interface PhaseEntry {
  readonly phase: string;
  readonly name: string;
  readonly share?: WrittenShare | undefined;
  readonly vessel: string;
  readonly work: readonly Entry[];
}

const NO_SHARES = { shares: [], whole: WHOLE };

/** Shares of the batch; undefined where one is missing, which is said there: the sum would only say it again. */
function sharesOf(workshop: Workshop, phases: readonly PhaseEntry[], counting: Counting = 'percent') {
  const written: WrittenPhase[] = [];
  for (const [i, { share: own, work }] of phases.entries()) {
    const draws: WrittenDraw[] = [];
    for (const [j, entry] of work.entries()) {
      if (entry.draw === undefined) continue;
      const strength = strengthOf(workshop, entry.draw);
      const key = entry.active === undefined ? 'share' : 'active';
      const given = entry[key];
      if (given === undefined || (key === 'active' && strength === undefined)) return undefined;
      const path = ['phases', i, 'work', j, key];
      draws.push({ share: given, path, strength: key === 'active' ? strength : undefined });
    }
    written.push({ share: own, draws, path: ['phases', i] });
  }
  return resolveShares(written, counting);
}

/** @param shares those of all draws, in order */
function toPhases(phases: readonly PhaseEntry[], shares: readonly number[]): Phase[] {
  let done = 0;
  return phases.map(({ phase, name, vessel, work }) => ({
    id: phase,
    name,
    vessel,
    work: work.map((entry) => {
      if (entry.draw === undefined) return toWork(entry, 0);
      done += 1;
      return toWork(entry, shares[done - 1] ?? 0);
    }),
  }));
}

/** All parts together in millionths, where the shares are parts. Division by a strength may leave less than one over. */
function partsOf(resolved: Resolved | undefined): number | undefined {
  if (!resolved?.ok || resolved.parts === undefined) return undefined;
  return Number(divideRounded(resolved.parts.n * 1_000_000n, resolved.parts.d, 'half-even'));
}

export type FormulaResult =
  | { readonly ok: true; readonly formula: Formula }
  | { readonly ok: false; readonly problems: readonly Problem[] };

/** A formula's id: its file's name without folder and ending. */
export function formulaId(file: string): string {
  return file.replace(/^.*[\\/]/, '').replace(/\.ya?ml$/i, '');
}

/**
 * Reads the text of a formula and checks it against its workshop. Never throws for bad text: all that is wrong comes
 * back at once.
 * @param file the file's name, for the problems and the formula's id
 */
export function readFormula(file: string, text: string, workshop: Workshop): FormulaResult {
  const read = readYaml(file, text, formulaSchema(workshop, countingOf(text)), 'text');
  if (!read.ok) return read;
  const { name, version, bar, bars, batch, loss, cautions, limits, label, shares, phases } = read.value;
  const resolved = sharesOf(workshop, phases, shares);
  const { shares: ofBatch, whole } = resolved?.ok ? asWholeNumbers(resolved.shares) : NO_SHARES;
  const parts = partsOf(resolved);
  return {
    ok: true,
    formula: {
      id: formulaId(file),
      name,
      version,
      bar,
      bars,
      batch,
      lossPpm: loss ?? 0,
      phases: toPhases(phases, ofBatch),
      ...(whole === WHOLE ? {} : { whole }),
      ...(parts === undefined ? {} : { parts }),
      limits: limits ?? [],
      ...(label === undefined ? {} : { label }),
      cautions: cautions ?? [],
    },
  };
}
