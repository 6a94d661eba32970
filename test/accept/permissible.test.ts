import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { AccuracyClass } from '../../src/accept/accuracyClass.ts';
import {
  acceptanceTolerance,
  maintenanceTolerance,
  permissibleInService,
  permissibleOnVerification,
} from '../../src/accept/permissible.ts';
import { mass } from '../../src/mass/mass.ts';
import { g } from '../records/sampleFacts.ts';

const E = g(0.1);

describe('maximum permissible errors (OIML R 76-1:2006, Table 6; in service twice: SI 1995/1907, Sch. 2, 4.2)', () => {
  // Class, then the upper ends of the loads of 0.5 e, 1 e and 1.5 e, counted in e.
  it.each([
    ['I', 50_000, 200_000, 1_000_000],
    ['II', 5_000, 20_000, 100_000],
    ['III', 500, 2_000, 10_000],
    ['IIII', 50, 200, 1_000],
  ] as const)('class %s: 0.5 e to %d e, 1 e to %d e, 1.5 e to %d e', (accuracyClass, half, one, more) => {
    const limit = (load: number) => permissibleOnVerification(mass(load * E), { accuracyClass, e: E }) / E;
    expect([0, half - 1, half].map(limit)).toEqual([0.5, 0.5, 0.5]);
    expect([half + 1, one].map(limit)).toEqual([1, 1]);
    expect([one + 1, more].map(limit)).toEqual([1.5, 1.5]);
  });

  // Instrument, load, limit on verification, limit in service. Worked out by hand from the tables.
  it.each([
    ['III', 1, 500, 0.5, 1],
    ['III', 1, 501, 1, 2],
    ['III', 1, 2000, 1, 2],
    ['III', 1, 2001, 1.5, 3],
    ['II', 0.1, 500, 0.05, 0.1],
    ['II', 0.1, 500.1, 0.1, 0.2],
    ['II', 0.1, 2000, 0.1, 0.2],
    ['II', 0.01, 50, 0.005, 0.01],
    ['II', 0.01, 50.01, 0.01, 0.02],
    ['II', 0.01, 200, 0.01, 0.02],
  ] as const)('class %s, e = %d g, %d g: %d g, in service %d g', (accuracyClass, e, load, initial, inService) => {
    const verification = { accuracyClass, e: g(e) };
    expect(permissibleOnVerification(g(load), verification)).toBe(g(initial));
    expect(permissibleInService(g(load), verification)).toBe(g(inService));
  });

  it('the first band of class II ends at 5 000 e and not at 20 000 e, as one public copy of the table misprints', () => {
    expect(permissibleOnVerification(mass(20_000 * E), { accuracyClass: 'II', e: E })).toBe(E);
  });
});

describe('tolerances of NIST Handbook 44, section 2.20, Table 6 (class III from a worked case, the rest from memory)', () => {
  it.each([
    ['I', [50_000, 200_000], [1, 2, 3]],
    ['II', [5_000, 20_000], [1, 2, 3]],
    ['III', [500, 2_000, 4_000], [1, 2, 3, 5]],
    ['IIII', [50, 200, 400], [1, 2, 3, 5]],
  ] as const)('class %s: up to %j divisions %j', (accuracyClass, ends, limits) => {
    const at = (load: number) => maintenanceTolerance(mass(load * E), { accuracyClass, e: E }) / E;
    expect([...ends.map(at), at(ends[ends.length - 1] as number)]).toEqual([...limits.slice(0, -1), limits.at(-2)]);
    expect(ends.map((end) => at(end + 1))).toEqual(limits.slice(1));
  });

  it('500 lb x 0.05 lb of class III, tested with 500 lb = 10 000 d: 5 d = 0.25 lb (public worked case)', () => {
    const lb = 453_592_370;
    const d = mass(Math.floor(lb / 20)); // 0.05 lb is no whole number of micrograms
    const verification = { accuracyClass: 'III', e: d } as const;
    expect(Math.abs(maintenanceTolerance(mass(500 * lb), verification) - lb / 4)).toBeLessThan(5);
    // Here the two standards part: OIML R 76 has 3 e in service for the same load.
    expect(permissibleInService(mass(500 * lb), verification)).toBe(3 * d);
  });

  it('acceptance is half of maintenance, and the same as OIML verification for all loads up to the last band', () => {
    const classes = fc.constantFrom<AccuracyClass[]>('I', 'II', 'III', 'IIII');
    fc.assert(
      fc.property(classes, fc.integer({ min: 0, max: 400_000 }), (accuracyClass, load) => {
        const verification = { accuracyClass, e: E };
        const at = mass(load * E);
        expect(acceptanceTolerance(at, verification) * 2).toBe(maintenanceTolerance(at, verification));
        const parted = accuracyClass === 'III' ? load > 4_000 : accuracyClass === 'IIII' && load > 400;
        if (!parted) expect(acceptanceTolerance(at, verification)).toBe(permissibleOnVerification(at, verification));
      }),
    );
  });
});
