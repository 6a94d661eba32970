import { describe, expect, it } from 'vitest';
import {
  canBeTheSame,
  type Expected,
  isExpected,
  netOf,
  roughly,
  sameAsBefore,
  stockJar,
  usedCup,
  usualTare,
} from '../../src/accept/standing.ts';
import { mass } from '../../src/mass/mass.ts';

const G = 1_000_000;
const bench = { d: mass(0.1 * G), repeatability: mass(0.05 * G) };
const fine = { d: mass(0.01 * G), repeatability: null };

function within({ load, within: far }: Expected, grams: number): boolean {
  return isExpected(mass(Math.round(load + grams * G)), { load, within: far });
}

describe('which vessel stands on the pan', () => {
  it('weighed before, must show the same but for the scatter: 3 d and 4 s', () => {
    const bowl = sameAsBefore(mass(912 * G), bench);
    expect([within(bowl, 0.5), within(bowl, -0.5), within(bowl, 0.51), within(bowl, -0.6)]).toEqual([
      true,
      true,
      false,
      false,
    ]);
    expect(sameAsBefore(mass(G), fine).within).toBe(0.03 * G);
  });

  it('clean, may be off its usual tare by 5 d or half a percent, whichever is more', () => {
    expect(usualTare(mass(912 * G), bench).within).toBe(4.56 * G);
    expect(usualTare(mass(31.46 * G), bench).within).toBe(0.5 * G);
  });

  it('tells the demo vessels apart by their tare', () => {
    const tares = [296.4, 158.3, 118.2, 912, 31.46, 18.4].map((grams) => mass(Math.round(grams * G)));
    for (const tare of tares) {
      const alike = tares.filter((other) => isExpected(other, usualTare(tare, bench)));
      expect(alike).toEqual([tare]);
    }
  });

  it('as a stock jar, may be off the book by some of its content as well', () => {
    const jar = stockJar(mass(35.78 * G), mass(27.4 * G), fine);
    expect(jar.load).toBe(63.18 * G);
    expect([within(jar, 1), within(jar, -1), within(jar, 1.2)]).toEqual([true, true, false]);
  });

  it('as a cup used before, may come back as it was left or wiped out, and no other way', () => {
    const left = mass(31.53 * G);
    const cup = usedCup(left, mass(31.46 * G), fine);
    const fits = (grams: number) => isExpected(mass(Math.round(grams * G)), cup);
    expect([31.53, 31.46, 31.5, 31.56].map(fits)).toEqual([true, true, true, true]);
    expect([31.6, 31.2, 18.4].map(fits)).toEqual([false, false, false]);
  });

  it('after another was emptied into it, may be off by a twentieth of what that held', () => {
    const bowl = roughly(mass(1200 * G), mass(287.6 * G), bench);
    expect(bowl.within).toBe(mass(14.88 * G));
  });
});

describe('the net weight of a draw', () => {
  it('is what came on, or what was taken out of the jar', () => {
    expect(netOf('add', mass(10 * G), mass(12 * G))).toBe(2 * G);
    expect(netOf('cup', mass(10 * G), mass(12 * G))).toBe(2 * G);
    expect(netOf('subtract', mass(22.85 * G), mass(22.25 * G))).toBe(0.6 * G);
  });

  it('of a vessel put back in the middle is neither below nothing nor far beyond what is wanted', () => {
    const target = mass(10 * G);
    expect([-0.5, 0, 5, 20, 22, 22.1, -0.6].map((grams) => canBeTheSame(mass(grams * G), target, bench))).toEqual([
      true,
      true,
      true,
      true,
      true,
      false,
      false,
    ]);
  });
});
