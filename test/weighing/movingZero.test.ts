/**
 * A zero that moves at any moment, one way between two looks at the empty pan: the truth always lies within what is
 * recorded of a draw, its uncertainty and its doubt taken together.
 */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type Mass, mass, minus, plus, ZERO } from '../../src/mass/mass.ts';
import { panEvent } from '../../src/weighing/events.ts';
import { standing } from '../../src/weighing/look.ts';
import { pan, type Rig, startChart, yes } from './chartRig.ts';
import { aDraw, aPlan, aStep, bench, g } from './samplePlan.ts';

const DRAWS = [aDraw('A1'), aDraw('A2'), aDraw('A3')];

/** A bowl, what is truly in it, and a bench scale whose zero moves. */
class Bench {
  readonly rig: Rig;
  #bowl = g(300);
  #zero = ZERO;
  #seen = ZERO;
  constructor(rig: Rig) {
    this.rig = rig;
  }

  /** The zero moves by so many intervals. */
  move(intervals: number): void {
    this.#zero = plus(this.#zero, mass(intervals * bench.d));
  }

  async lift(): Promise<void> {
    const shift = minus(this.#zero, this.#seen);
    this.#seen = this.#zero;
    await this.rig.tell(
      pan.moves('bench'),
      panEvent({ kind: 'emptied', scale: 'bench', at: 0, zero: this.#zero, shift }),
      pan.moves('bench'),
    );
  }

  /** The bowl rests on the pan, long enough. */
  async rest(): Promise<void> {
    const gross = plus(this.#bowl, this.#zero);
    const level = { scale: 'bench', at: 0, load: minus(gross, this.#seen), gross, zeroKnown: true };
    await this.rig.tell(panEvent({ kind: 'settled', ...level }));
    await this.rig.tell(panEvent({ kind: 'dwelt', ...level, keyed: false }));
    // The bowl weighs otherwise than known by more than the scale can explain: the maker says that it is the bowl.
    if (standing(this.rig.snapshot.context) === 'wrong') await this.rig.tell(yes);
  }

  /** Pours until the display shows so much net. @returns what truly went in */
  async pour(draw: string, shown: Mass): Promise<Mass> {
    const base = this.rig.snapshot.context.batch.draws[draw]?.base;
    if (base == null) throw new Error(`${draw} has not begun`);
    const before = this.#bowl;
    this.#bowl = plus(minus(plus(base, shown), this.#zero), this.#seen);
    await this.rig.tell(pan.moves('bench'));
    await this.rest();
    return minus(this.#bowl, before);
  }
}

/** What happens in a draw: the zero moves so far at three moments; the bowl is lifted in the middle, or at the end. */
const course = fc.record({
  steps: fc.tuple(fc.nat(4), fc.nat(4), fc.nat(4)),
  liftsMidway: fc.boolean(),
  lifts: fc.boolean(),
});

test('the truth lies within the record', async () => {
  const seen = { doubted: 0, not: 0 };
  await fc.assert(
    fc.asyncProperty(fc.constantFrom(1, -1), fc.tuple(course, course, course), async (way, courses) => {
      const at = new Bench(await startChart([{ kind: 'gathered' }], aPlan([...DRAWS, aStep('A4', 'press')])));
      const truths: Mass[] = [];
      await at.lift();
      await at.rest();
      for (const [index, { steps, liftsMidway, lifts }] of courses.entries()) {
        const draw = DRAWS[index]?.id ?? '';
        at.move(way * steps[0]);
        let truly = ZERO;
        if (liftsMidway) {
          truly = await at.pour(draw, g(40));
          at.move(way * steps[1]);
          await at.lift();
          await at.rest();
        } else at.move(way * steps[1]);
        truths.push(plus(truly, await at.pour(draw, g(100))));
        at.move(way * steps[2]);
        if (lifts || index === DRAWS.length - 1) {
          await at.lift();
          if (index < DRAWS.length - 1) await at.rest();
        }
      }
      const { batch } = at.rig.snapshot.context;
      for (const [index, truly] of truths.entries()) {
        const id = DRAWS[index]?.id ?? '';
        const weighed = at.rig.written.find((fact) => fact.kind === 'weighed' && fact.draw === id);
        if (weighed?.kind !== 'weighed') throw new Error(`${id} was not weighed`);
        const doubt = batch.draws[id]?.doubt ?? ZERO;
        seen[doubt === 0 ? 'not' : 'doubted'] += 1;
        const wrong = minus(truly, weighed.net);
        const most = Math.max(0, doubt) + weighed.uncertainty;
        const least = Math.min(0, doubt) - weighed.uncertainty;
        expect({ id, wrong, isWithin: wrong >= least && wrong <= most }).toEqual({ id, wrong, isWithin: true });
      }
    }),
    { numRuns: 200 },
  );
  expect(seen.doubted).toBeGreaterThan(20);
  expect(seen.not).toBeGreaterThan(20);
});
