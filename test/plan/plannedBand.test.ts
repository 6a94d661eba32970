import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Tolerance } from '../../src/formula/model.ts';
import { type Mass, mass } from '../../src/mass/mass.ts';
import { judgedBand, margins, partBands, relativeTolerance } from '../../src/plan/plannedBand.ts';
import type { Scale } from '../../src/workshop/model.ts';
import { demo } from './fixtures.ts';

const G = 1_000_000;

function scale(id: string): Scale {
  const found = demo.scales.get(id);
  if (!found) throw new Error(`no scale ${id}`);
  return found;
}

function percent(both: number, floor?: Mass): Tolerance {
  return { under: { ppm: both * 10_000 }, over: { ppm: both * 10_000 }, floor };
}

describe('the band on a scale', () => {
  it('is rounded inward to what the display can show', () => {
    expect(judgedBand(mass(92_783_505), percent(2), scale('bench'))).toMatchObject({ low: 91 * G, high: 94.6 * G });
  });

  it('of the blue dye: its half-band of 0.0371 g is less than three times the uncertainty, so a guard is kept', () => {
    const dye = mass(742_268);
    // The whole of the uncertainty is kept off each side: 0.7051 + 0.01395 and 0.7794 - 0.01395, inward to 0.01 g.
    expect(judgedBand(dye, percent(5), scale('fine'))).toEqual({
      low: 720_000,
      high: 760_000,
      guard: 13_953,
      uncertainty: 13_953,
    });
    // A scale that repeats better needs none.
    const calm = { ...scale('fine'), repeatability: mass(2_000) };
    expect(judgedBand(dye, percent(5), calm)).toMatchObject({ low: 710_000, high: 770_000, guard: 0 });
  });

  it('keeps each side its own', () => {
    const oil: Tolerance = { under: { ppm: 50_000 }, over: { ppm: 20_000 }, floor: undefined };
    expect(judgedBand(mass(11_134_021), oil, scale('fine'))).toMatchObject({ low: 10.58 * G, high: 11.35 * G });
    expect(relativeTolerance(mass(11_134_021), oil)).toBe(0.02);
  });

  it('is never narrower than its floor', () => {
    expect(margins(mass(G), percent(1, mass(50_000)))).toEqual({ under: 50_000, over: 50_000 });
    expect(margins(mass(G), percent(10, mass(50_000)))).toEqual({ under: 100_000, over: 100_000 });
    expect(relativeTolerance(mass(G), percent(1, mass(50_000)))).toBe(0.05);
  });

  it('holds only weights within the tolerance, with the guard off', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 4_000 * G }),
        fc.integer({ min: 1, max: 999_999 }),
        fc.integer({ min: 1, max: 999_999 }),
        fc.constantFrom('bench', 'fine'),
        (target, under, over, id) => {
          const tolerance: Tolerance = { under: { ppm: under }, over: { ppm: over }, floor: undefined };
          const { low, high, guard } = judgedBand(mass(target), tolerance, scale(id));
          const d = scale(id).d;
          expect(low).toBeGreaterThanOrEqual(target - (target * under) / 1e6 + guard - 1e-6);
          expect(high).toBeLessThanOrEqual(target + (target * over) / 1e6 - guard + 1e-6);
          expect(Number.isInteger(low / d)).toBe(true);
          expect(Number.isInteger(high / d)).toBe(true);
        },
      ),
    );
  });
});

describe('parts of one draw', () => {
  it('leave the last part what the earlier ones did not use of the whole', () => {
    const whole = judgedBand(mass(853_608_248), percent(1), scale('bench'), 2);
    const parts = partBands([mass(512 * G), mass(341_608_248)], whole, percent(1), scale('bench').d);
    expect(parts).toEqual([
      { target: 512 * G, low: 503.5 * G, high: 520.5 * G },
      { target: 341_608_248, low: 333.1 * G, high: 350.1 * G },
    ]);
  });

  it('never let an earlier part pass the top of the whole', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 99 * G }), (first) => {
        const whole = judgedBand(mass(100 * G), percent(5), scale('bench'), 2);
        const parts = partBands([mass(first), mass(100 * G - first)], whole, percent(5), scale('bench').d);
        expect(parts[0]?.high).toBeLessThanOrEqual(whole.high);
        expect(parts[1]?.high).toBeLessThanOrEqual(whole.high - first);
      }),
    );
  });

  it('are one draw when there is one', () => {
    const whole = judgedBand(mass(100 * G), percent(5), scale('bench'));
    expect(partBands([mass(100 * G)], whole, percent(5), scale('bench').d)).toEqual([
      { target: 100 * G, low: whole.low, high: whole.high },
    ]);
  });
});
