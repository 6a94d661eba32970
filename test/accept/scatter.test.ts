import { describe, expect, it } from 'vitest';
import { refutes, scatterOf } from '../../src/accept/scatter.ts';
import { mass } from '../../src/mass/mass.ts';

const D = mass(100);
const known = (stated: number | null, measured: number | null, weighings?: number) =>
  scatterOf({
    d: D,
    stated: stated === null ? null : mass(stated),
    measured: measured === null ? null : mass(measured),
    weighings,
  });
const WELL = Number.POSITIVE_INFINITY;

describe('the scatter that counts', () => {
  it('is 0 where nothing is known, and what is stated where no series was weighed', () => {
    expect(known(null, null)).toEqual({ deviation: 0, freedom: WELL });
    expect(known(50, null)).toEqual({ deviation: 50, freedom: WELL });
  });

  it('is that of the series without the rounding in it, where nothing is stated (JCGM 100, 4.3.10)', () => {
    // 120^2 - 100^2 / 6 = 12 733.3 = 112.84^2, a share of 0.88426.
    expect(known(null, 120, 5)).toEqual({ deviation: 113, freedom: expect.closeTo(4 * 0.88426 ** 2, 4) });
    expect(known(null, 120, 10)).toEqual({ deviation: 113, freedom: expect.closeTo(9 * 0.88426 ** 2, 4) });
  });

  it('is what is stated until a series speaks against it (JCGM 100, 4.2.4)', () => {
    expect(known(100, 60, 5)).toEqual({ deviation: 100, freedom: WELL });
    expect(known(100, 150, 5)).toEqual({ deviation: 100, freedom: WELL });
    expect(known(100, 180, 5).deviation).toBe(176); // 180^2 - 100^2 / 6 = 175.3^2
    expect(known(100, 150, 20).deviation).toBe(145); // 144.3
  });

  it('is not 0 after a series of like figures (JCGM 100, F.2.2.1): below d / sqrt(n), as a rectangular bound', () => {
    expect(known(null, 0, 5)).toEqual({ deviation: 26, freedom: 4 }); // 100 / sqrt(15) = 25.8
    expect(known(null, 45, 5).deviation).toBe(26); // one figure of five an interval off shows as little
    expect(known(30, 0, 5)).toEqual({ deviation: 30, freedom: WELL });
  });

  it('is the larger one in a log that does not say how many were weighed', () => {
    expect(known(100, 120)).toEqual({ deviation: 120, freedom: WELL });
    expect(known(130, 120)).toEqual({ deviation: 130, freedom: WELL });
  });
});

// Upper 5 % points of chi-squared, as printed in any table: 9.488 (4), 16.919 (9), 30.144 (19).
it.each([
  [5, 9.488 / 4],
  [10, 16.919 / 9],
  [20, 30.144 / 19],
])('a series of %i refutes a stated repeatability at the 95 %% point', (weighings, limit) => {
  const sigma = Math.sqrt(1000 ** 2 + 100 ** 2 / 6); // with the rounding of two readings
  const at = (times: number) => refutes(mass(Math.round(times * sigma)), weighings, mass(1000), D);
  expect(at(Math.sqrt(limit) * 0.99)).toBe(false);
  expect(at(Math.sqrt(limit) * 1.01)).toBe(true);
});
