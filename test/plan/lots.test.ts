import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Mass, mass } from '../../src/mass/mass.ts';
import { allotLots, isExpired, type Stock } from '../../src/plan/lots.ts';

const TODAY = '2026-11-25';

function stock(id: string, onHand: number, expires?: string): Stock {
  return {
    lot: { id, onHand: mass(onHand), expires, pricePerKg: undefined, jar: undefined },
    onHand: mass(onHand),
  };
}

function pieces(lots: readonly Stock[], target: number, least = 1): [string, Mass][] {
  const allotted = allotLots(lots, mass(target), mass(least), TODAY);
  if (!allotted.ok) throw new Error(allotted.kind);
  return allotted.pieces.map(({ lot, amount }) => [lot.id, amount]);
}

describe('lots', () => {
  it('may be used on their last day and not after', () => {
    expect(isExpired(stock('a', 1, '2026-11-25').lot, TODAY)).toBe(false);
    expect(isExpired(stock('a', 1, '2026-11-24').lot, TODAY)).toBe(true);
    expect(isExpired(stock('a', 1).lot, TODAY)).toBe(false);
  });

  it('are used up in the order in which they expire; those that never do, last', () => {
    const lots = [stock('never', 50), stock('late', 50, '2028-01-01'), stock('soon', 30, '2026-12-01')];
    expect(pieces(lots, 100)).toEqual([
      ['soon', 30],
      ['late', 50],
      ['never', 20],
    ]);
    expect(pieces(lots, 30)).toEqual([['soon', 30]]);
  });

  it('that are expired or empty count for nothing', () => {
    const lots = [stock('old', 500, '2026-11-01'), stock('empty', 0), stock('good', 60, '2027-01-01')];
    expect(pieces(lots, 60)).toEqual([['good', 60]]);
    expect(allotLots(lots, mass(100), mass(1), TODAY)).toEqual({ ok: false, kind: 'short', short: 40, inDate: 60 });
  });

  it('that would make a part too small to weigh are passed over, as few as can be', () => {
    const crumb = [stock('crumb', 3, '2026-12-01'), stock('good', 200, '2027-01-01')];
    expect(pieces(crumb, 100, 10)).toEqual([['good', 100]]);
    // The first lot alone falls short by a crumb: the next one does it all.
    const nearly = [stock('nearly', 97, '2026-12-01'), stock('good', 200, '2027-01-01')];
    expect(pieces(nearly, 100, 10)).toEqual([['good', 100]]);
    const allotted = allotLots(nearly, mass(100), mass(10), TODAY);
    expect(allotted).toMatchObject({ ok: true, passedOver: [{ lot: { id: 'nearly' } }] });
  });

  it('that suffice only in crumbs are not enough', () => {
    const lots = [stock('a', 97, '2026-12-01'), stock('b', 97, '2027-01-01')];
    expect(allotLots(lots, mass(100), mass(10), TODAY)).toEqual({ ok: false, kind: 'crumbs' });
  });

  it('of whatever stock: pieces add up, none is larger than its lot, none expired, none a crumb among several', () => {
    const lot = fc.record({
      onHand: fc.integer({ min: 0, max: 1000 }),
      expires: fc.constantFrom('2026-11-01', '2026-11-25', '2027-03-01', '2028-03-01', undefined),
    });
    fc.assert(
      fc.property(fc.array(lot, { maxLength: 6 }), fc.integer({ min: 1, max: 2000 }), (given, target) => {
        const lots = given.map(({ onHand, expires }, index) => stock(`L${index}`, onHand, expires));
        const least = mass(Math.ceil(target / 10));
        const allotted = allotLots(lots, mass(target), least, TODAY);
        const inDate = given.reduce((sum, each) => (each.expires === '2026-11-01' ? sum : sum + each.onHand), 0);
        if (!allotted.ok) {
          expect(allotted.kind).toBe(inDate < target ? 'short' : 'crumbs');
          return;
        }
        expect(allotted.pieces.reduce((sum, { amount }) => sum + amount, 0)).toBe(target);
        for (const piece of allotted.pieces) {
          expect(piece.amount).toBeLessThanOrEqual(piece.onHand);
          expect(isExpired(piece.lot, TODAY)).toBe(false);
          if (allotted.pieces.length > 1) expect(piece.amount).toBeGreaterThanOrEqual(least);
        }
      }),
    );
  });
});
