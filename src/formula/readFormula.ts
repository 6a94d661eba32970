/** Reads a formula's file and checks it against the workshop that is to make it. */
import { z } from 'zod';
import { divideRounded } from '../mass/rounding.ts';
import type { Workshop } from '../workshop/model.ts';
import { type Problem, readYaml } from '../workshop/problems.ts';
import { count, massOf, nameText, percent, plainText, sentence } from '../workshop/quantities.ts';
import { checkCombining, checkLimits, checkPhaseNames, type Fault, knownName, WHOLE } from './checkFormula.ts';
import type { Ceiling, Formula, Phase } from './model.ts';
import { labelKey } from './readLabel.ts';
import { activeShare, countingOf, share } from './readShare.ts';
import { type Entry, strengthOf, toWork, workSchema } from './readWork.ts';
import {
  asWholeNumbers,
  type Counting,
  type Resolved,
  resolveShares,
  type WrittenDraw,
  type WrittenPhase,
  type WrittenShare,
} from './shares.ts';

/** The most tasks that one batch is walked through. */
const MOST_WORK = 200;

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
              workshop,
            )
          : []),
      ];
      for (const fault of faults) say(fault);
    });
}

interface PhaseEntry {
  readonly phase: string;
  readonly name: string;
  readonly vessel: string;
  readonly work: readonly Entry[];
}

/** A phase as far as its shares go. */
interface PhaseShares {
  readonly share?: WrittenShare | undefined;
  readonly work: readonly Pick<Entry, 'draw' | 'share' | 'active'>[];
}

const NO_SHARES = { shares: [], whole: WHOLE };

/** Shares of the batch; undefined where one is missing, which is said there: the sum would only say it again. */
function sharesOf(workshop: Workshop, phases: readonly PhaseShares[], counting: Counting = 'percent') {
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

/** Only what the shares need; all else is left unread. */
function sharesSchema(counting: Counting) {
  const entry = z.looseObject({
    draw: z.string().optional(),
    share: share(counting).optional(),
    active: activeShare(counting).optional(),
  });
  const phase = z.looseObject({ share: share(counting).optional(), work: z.array(entry) });
  return z.looseObject({ phases: z.array(phase) });
}

/** What is wrong with the sum of the shares, in a file that has other faults; nothing where a share can't be read. */
function sumProblems(file: string, text: string, workshop: Workshop, told: readonly Problem[]): readonly Problem[] {
  const counting = countingOf(text);
  const read = readYaml(file, text, sharesSchema(counting), 'text');
  const resolved = read.ok ? sharesOf(workshop, read.value.phases, counting) : undefined;
  if (!read.ok || !resolved || resolved.ok) return [];
  const problems = resolved.faults.map(({ path, expected, hint }) =>
    read.complain(path.map(keyOf), expected, { hint }),
  );
  return problems.filter(({ path, expected }) => !told.some((one) => one.path === path && one.expected === expected));
}

const keyOf = (key: PropertyKey) => (typeof key === 'number' ? key : String(key));

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
  // What is wrong in one place keeps the whole from being looked at: the shares are added up all the same.
  if (!read.ok) return { ok: false, problems: [...read.problems, ...sumProblems(file, text, workshop, read.problems)] };
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
