import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { judge, outsideBy } from '../../src/accept/band.ts';
import { mass } from '../../src/mass/mass.ts';

describe('may this weight be accepted?', () => {
  const band = { low: mass(710_000), high: mass(770_000) };

  it.each([
    [709_999, 'under', 1],
    [710_000, 'in', 0],
    [742_268, 'in', 0],
    [770_000, 'in', 0],
    [770_001, 'over', 1],
    [-1, 'under', 710_001],
  ] as const)('%d ug is %s, by %d', (net, verdict, by) => {
    expect(judge(mass(net), band)).toBe(verdict);
    expect(outsideBy(mass(net), band)).toBe(by);
  });

  it('is answered alike by both: outside by nothing exactly when in', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 2_000_000 }), (net) => {
        expect(outsideBy(mass(net), band) === 0).toBe(judge(mass(net), band) === 'in');
      }),
    );
  });
});
