import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readFormula } from '../../src/formula/readFormula.ts';
import { sumOf } from '../../src/mass/mass.ts';
import { makePlan } from '../../src/plan/plan.ts';
import { printPlan, printRefusals } from '../../src/plan/printPlan.ts';
import { printProblems } from '../../src/workshop/problems.ts';
import { readWorkshop } from '../../src/workshop/readWorkshop.ts';
import { BATCH_DAY, demo, demoFormulaText, demoText, drawsOf } from './fixtures.ts';

/** A good file with pieces cut out, doubled or replaced: what slips of the hand and worse make of it. */
function damaged(text: string) {
  const slip = fc.record({
    at: fc.integer({ min: 0, max: text.length }),
    cut: fc.integer({ min: 0, max: 60 }),
    put: fc.oneof(
      fc.constantFrom('', '\t', ':', '- ', '&a ', '*a', '{', '[', '"', '%', '-', '0', '1e9', '\u0000', '\u202e', '\n'),
      fc.string({ unit: 'grapheme', maxLength: 8 }),
    ),
  });
  return fc.array(slip, { minLength: 1, maxLength: 4 }).map((slips) => {
    return slips.reduce((now, { at, cut, put }) => now.slice(0, at) + put + now.slice(at + cut), text);
  });
}

/** Nothing that moves the cursor, paints or hides may come out. */
function expectSafe(printed: string): void {
  expect(printed).not.toMatch(/[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\u200b-\u200f]/);
}

describe('whatever a file holds', () => {
  it('a workshop is read or its problems are told, and nothing is thrown', () => {
    fc.assert(
      fc.property(damaged(demoText), (text) => {
        const read = readWorkshop('workshop.yaml', text);
        if (!read.ok) {
          expect(read.problems.length).toBeGreaterThan(0);
          expectSafe(printProblems(read.problems));
        }
      }),
      { numRuns: 40 },
    );
  });

  it('a formula is planned so that it adds up, or refused, and nothing is thrown', () => {
    fc.assert(
      fc.property(damaged(demoFormulaText), (text) => {
        const read = readFormula('formula.yaml', text, demo);
        if (!read.ok) {
          expectSafe(printProblems(read.problems));
          return;
        }
        const result = makePlan(demo, read.formula, undefined, BATCH_DAY);
        if (!result.ok) {
          expectSafe(printRefusals(read.formula, result.refusals));
          return;
        }
        expect(sumOf(drawsOf(result.plan).map(({ target }) => target))).toBe(result.plan.mass);
        expectSafe(printPlan(result.plan));
      }),
      { numRuns: 60 },
    );
  });

  it('plain noise is no workshop', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 200 }), (text) => {
        expect(readWorkshop('workshop.yaml', text).ok).toBe(false);
      }),
    );
  });
});
