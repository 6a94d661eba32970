import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Mass, mass, sumOf, ZERO } from '../../src/mass/mass.ts';
import { createHand } from '../../src/simulate/hand.ts';
import { contentOf } from '../../src/simulate/holder.ts';
import { loadOf } from '../../src/simulate/pan.ts';
import { createWorld } from '../../src/simulate/world.ts';

const g = (grams: number): Mass => mass(Math.round(grams * 1e6));

function setUp() {
  const world = createWorld({
    pans: ['bench', 'fine'],
    vessels: [
      { id: 'jug', tare: g(296.4) },
      { id: 'bowl', tare: g(912) },
      { id: 'jar', tare: g(63.18) },
    ],
    lots: [
      { id: 'W1', ingredient: 'water', onHand: g(500) },
      { id: 'W2', ingredient: 'water', onHand: g(100) },
      { id: 'B1', ingredient: 'butter', onHand: g(300) },
      { id: 'D1', ingredient: 'dye', onHand: g(27.4), jar: 'jar' },
    ],
  });
  return { world, hand: createHand(world) };
}

describe('pans', () => {
  test('a pan carries its vessels with all that is in them, and what presses on it', () => {
    const { world, hand } = setUp();
    hand.put(world.vessel('jar'), world.pan('fine'));
    expect(loadOf(world.pan('fine'))).toBe(g(90.58));
    world.pan('fine').pressed = g(0.2);
    world.pan('fine').bare = g(1);
    expect(loadOf(world.pan('fine'))).toBe(g(91.78));
  });

  test('a vessel stands on one pan at a time', () => {
    const { world, hand } = setUp();
    hand.put(world.vessel('jug'), world.pan('fine'));
    hand.put(world.vessel('jug'), world.pan('bench'));
    expect(loadOf(world.pan('fine'))).toBe(0);
    expect(world.panUnder(world.vessel('jug'))?.id).toBe('bench');
    hand.lift(world.vessel('jug'));
    expect(loadOf(world.pan('bench'))).toBe(0);
  });

  test('a name that is not there is refused', () => {
    const { world } = setUp();
    expect(() => world.vessel('cup')).toThrow('no vessel "cup"');
  });
});

describe('a computer that was held up', () => {
  /** Two scales look at their pans; the clock may jump on between. */
  const heldUp = () => {
    const { world } = setUp();
    const clock = { now: 0 };
    const hand = createHand(world, 0, () => clock.now);
    hand.put(world.vessel('jug'), world.pan('bench'));
    return { world, clock, hand, bench: hand.loadOn(world.pan('bench')), fine: hand.loadOn(world.pan('fine')) };
  };

  test('a scale that comes late sees each moment of a pour, although another has seen its end', () => {
    const { world, clock, hand, bench, fine } = heldUp();
    hand.pour({ from: world.lot('W1'), to: world.vessel('jug'), gramsPerSecond: 30, upTo: g(90) });
    clock.now = 4000;
    fine(4000);
    const seen = [0, 500, 1000, 1500, 2000, 3000, 4000].map((at) => (bench(at) - g(296.4)) / 1e6);
    expect(seen).toEqual([0, 15, 30, 45, 60, 90, 90]);
  });

  test('what a hand does after the delay was not there before', () => {
    const { world, clock, hand, bench } = heldUp();
    bench(100);
    clock.now = 2000;
    hand.move(world.lot('W1'), world.vessel('jug'), g(5));
    hand.put(world.vessel('jar'), world.pan('bench'));
    expect([bench(200), bench(1900)]).toEqual([g(296.4), g(296.4)]);
    expect(bench(2010)).toBe(g(296.4 + 5 + 90.58));
  });
});

describe('pouring', () => {
  test('runs at its rate and stops at its mark, to the microgram', () => {
    const { world, hand } = setUp();
    const pour = hand.pour({ from: world.lot('W1'), to: world.vessel('jug'), gramsPerSecond: 30, upTo: g(92.784123) });
    hand.advance(1000);
    expect(pour.arrived).toBe(g(30));
    for (let at = 1013; at < 6000; at += 13) hand.advance(at);
    expect(pour.arrived).toBe(g(92.784123));
    expect(pour.done).toBe(true);
    expect(hand.pouring).toBe(false);
    expect(world.trueMass('jug', 'water')).toBe(g(92.784123));
  });

  test('what runs after the stop arrives too', () => {
    const { world, hand } = setUp();
    const pour = hand.pour({ from: world.lot('W1'), to: world.vessel('jug'), gramsPerSecond: 10, afterRun: g(1.5) });
    hand.advance(2000);
    pour.stop();
    const atStop = pour.arrived;
    hand.advance(2400);
    // One time constant of 0.4 s: 1 - 1/e of the after-run.
    expect((pour.arrived - atStop) / g(1.5)).toBeCloseTo(1 - Math.exp(-1), 3);
    hand.advance(2500);
    for (let at = 2500; at < 12_000; at += 20) hand.advance(at);
    expect(pour.arrived - atStop).toBe(g(1.5));
    expect(pour.done).toBe(true);
  });

  test('an empty lot ends it', () => {
    const { world, hand } = setUp();
    const pour = hand.pour({ from: world.lot('W2'), to: world.vessel('jug'), gramsPerSecond: 40, afterRun: g(1) });
    for (let at = 0; at < 5000; at += 20) hand.advance(at);
    expect(pour).toMatchObject({ done: true, arrived: g(100) });
    expect(contentOf(world.lot('W2'))).toBe(0);
  });

  test('a pour that does not run is refused', () => {
    const { world, hand } = setUp();
    expect(() => hand.pour({ from: world.lot('W1'), to: world.vessel('jug'), gramsPerSecond: 0 })).toThrow(RangeError);
  });
});

describe('spoons and tipping', () => {
  test('what is taken out of the jar is on the spoon, and can be tapped back', () => {
    const { world, hand } = setUp();
    hand.move(world.lot('D1'), world.spoon, g(0.8));
    hand.move(world.spoon, world.lot('D1'), g(0.05));
    expect(world.trueMass('jar', 'dye')).toBe(g(26.65));
    hand.tip(world.spoon, world.vessel('jug'), g(0.01));
    expect(world.trueMass('jug', 'dye')).toBe(g(0.74));
    expect(world.truth().get('spoon')?.get('dye')).toBe(g(0.01));
  });

  test('a mixture moves in proportion', () => {
    const { world, hand } = setUp();
    hand.move(world.lot('W1'), world.vessel('jug'), g(75));
    hand.move(world.lot('B1'), world.vessel('jug'), g(25));
    hand.move(world.vessel('jug'), world.bin, g(10));
    expect(world.truth().get('bin')).toEqual(
      new Map([
        ['water', g(7.5)],
        ['butter', g(2.5)],
      ]),
    );
  });

  test('two lots of one ingredient are told as one, but kept apart', () => {
    const { world, hand } = setUp();
    hand.move(world.lot('W1'), world.vessel('jug'), g(10));
    hand.move(world.lot('W2'), world.vessel('jug'), g(5));
    expect(world.trueMass('jug', 'water')).toBe(g(15));
    expect(world.vessel('jug').contents).toEqual(
      new Map([
        ['W1', g(10)],
        ['W2', g(5)],
      ]),
    );
  });

  test('no more than there is can be moved, and nothing negative', () => {
    const { world, hand } = setUp();
    expect(hand.move(world.lot('W2'), world.vessel('jug'), g(999))).toBe(g(100));
    expect(hand.tip(world.spoon, world.vessel('jug'))).toBe(0);
    expect(() => hand.move(world.lot('W1'), world.spoon, g(-1))).toThrow(RangeError);
  });
});

test('whatever the hand does, nothing appears and nothing vanishes: each lot keeps its mass to the microgram', () => {
  const places = ['W1', 'W2', 'B1', 'D1', 'jug', 'bowl', 'spoon', 'bin'] as const;
  const place = fc.constantFrom(...places);
  const amount = fc.integer({ min: 0, max: 400_000_000 });
  const deed = fc.oneof(
    fc.record({ kind: fc.constant('move' as const), from: place, to: place, amount }),
    fc.record({ kind: fc.constant('tip' as const), from: place, to: place, amount }),
    fc.record({ kind: fc.constant('pour' as const), from: place, to: place, amount }),
    fc.record({ kind: fc.constant('wait' as const), from: place, to: place, amount }),
    fc.record({ kind: fc.constant('stop' as const), from: place, to: place, amount }),
  );
  fc.assert(
    fc.property(fc.array(deed, { maxLength: 25 }), (deeds) => {
      const { world, hand } = setUp();
      const holder = (id: (typeof places)[number]) => {
        if (id === 'spoon') return world.spoon;
        if (id === 'bin') return world.bin;
        return id === 'jug' || id === 'bowl' ? world.vessel(id) : world.lot(id);
      };
      let now = 0;
      for (const { kind, from, to, amount } of deeds) {
        if (kind === 'move') hand.move(holder(from), holder(to), mass(amount));
        if (kind === 'tip') hand.tip(holder(from), holder(to), mass(amount));
        if (kind === 'stop') hand.stop();
        if (kind === 'wait') {
          now += amount / 1e5;
          hand.advance(now);
        }
        if (kind === 'pour') {
          hand.pour({ from: holder(from), to: holder(to), gramsPerSecond: 7.3, upTo: mass(amount), afterRun: g(0.7) });
        }
      }
      const all = places.map(holder);
      for (const [lot, onHand] of [
        ['W1', 500],
        ['W2', 100],
        ['B1', 300],
        ['D1', 27.4],
      ] as const) {
        expect(sumOf(all.map(({ contents }) => contents.get(lot) ?? ZERO))).toBe(g(onHand));
      }
    }),
    { numRuns: 200 },
  );
});
