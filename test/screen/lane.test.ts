import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { mass } from '../../src/mass/mass.ts';
import { drawLane } from '../../src/screen/drawLane.ts';
import { filledCells, headOf, labelStart, laneRoom, laneWidth, ticksOf } from '../../src/screen/lane.ts';
import type { LaneView } from '../../src/screen/view.ts';

const grams = (value: number) => mass(Math.round(value * 1e6));
const room = laneRoom(78);

/** A lane at a net weight; by default that of sulfosuccinate on a scale of 0.1 g. */
function laneAt(net: number, { low = 180.1, target = 181.856, high = 183.6, d = 0.1 } = {}): LaneView {
  return { net: grams(net), low: grams(low), target: grams(target), high: grams(high), d: grams(d) };
}

const cellsAt = (net: number, shape = {}) => filledCells(headOf(laneAt(net, shape), room), room);

/** Any sensible draw: an interval, and a band in whole intervals. */
const anyBand = fc
  .record({
    d: fc.constantFrom(0.001, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 5),
    low: fc.integer({ min: 0, max: 20_000 }),
    wide: fc.integer({ min: 0, max: 400 }),
    width: fc.integer({ min: 40, max: 200 }),
  })
  .map(({ d, low, wide, width }) => ({
    room: laneRoom(width),
    d: grams(d),
    low: mass(low * grams(d)),
    high: mass((low + wide) * grams(d)),
    target: mass((low + Math.floor(wide / 2)) * grams(d)),
  }));

describe('the bar', () => {
  it('never moves back when the net weight grows, and never leaves the lane', () => {
    fc.assert(
      fc.property(anyBand, fc.array(fc.integer({ min: -1000, max: 45_000 })), ({ room: any, ...band }, steps) => {
        const nets = steps.toSorted((a, b) => a - b).map((step) => mass(Math.round((step * band.d) / 2)));
        const cells = nets.map((net) => filledCells(headOf({ net, ...band }, any), any));
        expect(cells).toEqual(cells.toSorted((a, b) => a - b));
        for (const each of cells) {
          expect(each).toBeGreaterThanOrEqual(0);
          expect(each).toBeLessThanOrEqual(laneWidth(any));
        }
      }),
    );
  });

  it('ends in the doorway for every weight of the band, and for no other', () => {
    fc.assert(
      fc.property(anyBand, fc.integer({ min: -500, max: 30_000 }), ({ room: any, ...band }, step) => {
        const net = mass(step * band.d);
        const cells = filledCells(headOf({ net, ...band }, any), any);
        const inDoor = cells > any.approach + 1 && cells <= any.approach + 1 + any.door;
        expect(inDoor).toBe(net >= band.low && net <= band.high);
      }),
    );
  });

  it.each([
    ['nothing yet', 0, 'before', 0],
    ['less than nothing', -5, 'before', 0],
    ['one interval below', 180.0, 'before', undefined],
    ['the lower limit', 180.1, 'in', 1],
    ['the upper limit', 183.6, 'in', room.door],
    ['one interval above', 183.7, 'past', undefined],
    ['far above', 2000, 'past', room.past],
  ])('%s', (_, net, zone, cells) => {
    const head = headOf(laneAt(net), room);
    expect(head.zone).toBe(zone);
    if (cells !== undefined) expect(head.cells).toBe(cells);
  });

  it('gives the last 100 g, 10 g and 1 g stretches of equal length', () => {
    // Floor to whole cells costs at most one cell at either end.
    const at = (distance: number) => cellsAt(180.1 - distance);
    const stretches = [at(10) - at(100), at(1) - at(10), at(0.1) - at(1)];
    expect(Math.max(...stretches) - Math.min(...stretches)).toBeLessThanOrEqual(1);
    expect(Math.min(...stretches)).toBeGreaterThan(8);
  });

  it('moves by several cells for the last interval before the band', () => {
    expect(cellsAt(180.1) - cellsAt(180.0)).toBeGreaterThan(5);
    expect(cellsAt(0.71, { low: 0.71, target: 0.742, high: 0.77, d: 0.01 })).toBeGreaterThan(
      cellsAt(0.7, { low: 0.71, target: 0.742, high: 0.77, d: 0.01 }) + 5,
    );
  });
});

describe('the labels', () => {
  it('name the limits of the band, the target and the powers of ten on the way', () => {
    const labels = ticksOf(laneAt(0), room).map(({ label }) => label);
    expect(labels).toEqual(['-100', '-10', '-1', '-0.1', '180.1', '181.9', '183.6']);
  });

  it('stand at the cell that the bar reaches at that weight', () => {
    for (const { cell, label } of ticksOf(laneAt(0), room)) {
      if (label.startsWith('-')) expect(cellsAt(180.1 + Number(label))).toBe(cell);
    }
  });

  it('never overlap and never leave the lane', () => {
    fc.assert(
      fc.property(anyBand, ({ room: any, ...band }) => {
        const ticks = ticksOf({ net: mass(0), ...band }, any);
        let end = -1;
        for (const tick of ticks) {
          const start = labelStart(tick, any);
          expect(start).toBeGreaterThan(end);
          end = start + tick.label.length;
          expect(end).toBeLessThanOrEqual(laneWidth(any));
        }
        expect(ticks.length).toBeGreaterThan(0);
      }),
    );
  });
});

describe('the drawing', () => {
  it('is as wide as its room in every row', () => {
    fc.assert(
      fc.property(
        anyBand,
        fc.integer({ min: -500, max: 30_000 }),
        fc.constantFrom('block' as const, 'ascii' as const),
        ({ room: any, ...band }, step, ink) => {
          const drawn = drawLane({ net: mass(step * band.d), ...band }, any, ink, true);
          expect(drawn.bar.length + drawn.yard.length).toBeLessThanOrEqual(laneWidth(any));
          expect(drawn.base).toHaveLength(laneWidth(any));
          expect(drawn.labels.length).toBeLessThanOrEqual(laneWidth(any));
        },
      ),
    );
  });

  it('needs nothing but ASCII on a bare console', () => {
    const { bar, yard, base, labels } = drawLane(laneAt(150), laneRoom(60), 'ascii', true);
    expect([bar + yard, base, labels]).toEqual([
      '======>                                 |          |',
      '--+--------+---------+--------+---------+=====+====+--------',
      '-100      -10       -1      -0.1      180.1      183.6',
    ]);
  });

  it('has no bar when the weight can not be trusted', () => {
    const drawn = drawLane(laneAt(150), room, 'block', false);
    expect(drawn.bar).toBe('');
    expect(drawn.yard.trim()).toMatch(/^\u2503 +\u2503$/);
  });
});
