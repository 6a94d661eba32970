import fc from 'fast-check';
import jstat from 'jstat';
import { describe, expect, it } from 'vitest';
import { normalQuantile, normalShareBelow } from '../../src/stats/normal.ts';
import { studentQuantile } from '../../src/stats/student.ts';

describe('normal distribution', () => {
  // NIST/SEMATECH e-Handbook, 1.3.6.7.1 (table of the cumulative normal distribution) to five digits; the further
  // digits by the reference library below.
  it.each([
    [0.9, 1.281552],
    [0.95, 1.644854],
    [0.975, 1.959964],
    [0.98, 2.053749],
    [0.99, 2.326348],
    [0.995, 2.575829],
    [0.999, 3.090232],
    [0.9999, 3.719016],
  ])('the quantile of %d is %d', (p, z) => {
    expect(normalQuantile(p).toFixed(6)).toBe(z.toFixed(6));
    expect(normalQuantile(1 - p).toFixed(6)).toBe((-z).toFixed(6));
    expect(normalShareBelow(normalQuantile(p))).toBeCloseTo(p, 14);
  });

  // Wichura (1988), test values of PPND16, from memory.
  it.each([
    [0.25, -0.6744897501960817],
    [0.001, -3.090232306167814],
    [1e-20, -9.262340089798409],
  ])('the test values of the published algorithm: %d', (p, z) => {
    expect(Math.abs(normalQuantile(p) - z)).toBeLessThan(4e-15 * Math.abs(z));
  });

  it('agrees with a reference library', () => {
    fc.assert(
      fc.property(fc.double({ min: 1e-6, max: 1 - 1e-6, noNaN: true }), (p) => {
        expect(normalQuantile(p)).toBeCloseTo(jstat.normal.inv(p, 0, 1), 9);
        const z = normalQuantile(p);
        expect(normalShareBelow(z)).toBeCloseTo(jstat.normal.cdf(z, 0, 1), 12);
      }),
    );
  });

  it('ends where numbers end', () => {
    expect(normalShareBelow(-40)).toBe(0);
    expect(normalShareBelow(40)).toBe(1);
    expect(normalShareBelow(0)).toBe(0.5);
    for (const p of [0, 1, -0.1, Number.NaN]) expect(() => normalQuantile(p)).toThrow(RangeError);
  });
});

describe("Student's t", () => {
  // NIST/SEMATECH e-Handbook, 1.3.6.7.2 (critical values of Student's t), three decimals.
  it.each([
    [0.975, 1, 12.706],
    [0.975, 5, 2.571],
    [0.975, 11, 2.201],
    [0.975, 23, 2.069],
    [0.975, 47, 2.012],
    [0.995, 19, 2.861],
    [0.995, 29, 2.756],
    [0.995, 49, 2.68],
    [0.95, 2, 2.92],
    [0.9, 3, 1.638],
    [0.999, 10, 4.144],
  ])('the quantile of %d at %d degrees of freedom is %d', (p, freedom, t) => {
    expect(studentQuantile(p, freedom).toFixed(3)).toBe(t.toFixed(3));
    expect(studentQuantile(1 - p, freedom)).toBeCloseTo(-studentQuantile(p, freedom), 9);
  });

  it('agrees with a reference library', () => {
    const share = fc.double({ min: 0.0005, max: 0.9995, noNaN: true });
    fc.assert(
      fc.property(share, fc.integer({ min: 1, max: 200 }), (p, freedom) => {
        const t = jstat.studentt.inv(p, freedom);
        expect(Math.abs(studentQuantile(p, freedom) - t)).toBeLessThan(1e-7 * Math.max(1, Math.abs(t)));
      }),
    );
  });

  it('with very many degrees of freedom is the normal distribution', () => {
    expect(studentQuantile(0.975, 10_000_000)).toBeCloseTo(normalQuantile(0.975), 4);
    expect(studentQuantile(0.5, 7)).toBeCloseTo(0, 12);
    for (const freedom of [0, 1.5, -1]) expect(() => studentQuantile(0.9, freedom)).toThrow(RangeError);
  });
});
