/** A maker at the made-up bench who weighs off the bars, looking only at the words and at the number on the display. */
import { judge } from '../../accept/band.ts';
import { type Mass, mass } from '../../mass/mass.ts';
import type { Clock } from '../../signal/clock.ts';
import type { Hand } from '../../simulate/hand.ts';
import { contentOf, createHolder, type Holder, move } from '../../simulate/holder.ts';
import type { Pan } from '../../simulate/pan.ts';
import type { Random } from '../../simulate/seededRandom.ts';
import type { PortionBench } from '../portion/portionBench.ts';

export interface BarMakerInput {
  readonly bench: Pick<PortionBench, 'state' | 'numbers' | 'answer'>;
  readonly hand: Hand;
  readonly pan: Pan;
  /** What the mix is in. */
  readonly bowl: Holder;
  readonly clock: Clock;
  readonly random: Random;
  readonly isOver: () => boolean;
  /** Told of each bar that was counted, with its true weight. */
  readonly onLifted?: (truly: Mass) => void;
}

const G = 1_000_000;
/** A scoop by eye is off by so much (standard deviation); the hand then trims to so near. */
const BY_EYE = 3 * G;
const TRIMMED = 0.35 * G;
/** So much of each bar falls off as crumbs at the press. */
const CRUMBS = 2.2 * G;

/** Works until there is no mix left: the last bar, which is short, becomes the offcut, and the crumbs are swept up. */
export async function makeBars(input: BarMakerInput): Promise<void> {
  const { bench, hand, pan, bowl, clock, random, isOver, onLifted } = input;
  const pause = (ms: number) => new Promise<void>((resolve) => clock.setTimeout(resolve, ms));
  const crumbs = createHolder('crumbs');
  const { setPoint } = bench.state().aim;

  /** Waits for something to be seen, as long as a patient person would. */
  const until = async (is: () => boolean): Promise<boolean> => {
    for (let tries = 0; tries < 80 && !isOver(); tries++) {
      if (is()) return true;
      await pause(100);
    }
    return false;
  };
  const isEmpty = () => bench.state().pan.state === 'empty';
  const hasDwelt = () => bench.state().stood?.dwelt === true;

  await until(isEmpty);
  while (!isOver()) {
    const bar = createHolder('bar');
    move(bowl, bar, mass(Math.round(setPoint + random.normal() * BY_EYE)));
    hand.put(bar, pan);
    await pause(1200);
    if (!(await trim(bar)) || !(await count(bar))) break;
    move(bowl, crumbs, mass(Math.round(CRUMBS)));
    await pause(1500);
  }
  if (isOver()) return;
  await leaveOver();

  /** Lifts it off once it may; where it is asked for again, it goes back on. @returns whether it was counted */
  async function count(bar: Holder): Promise<boolean> {
    const before = bench.state().bars.bars.length;
    for (let tries = 0; tries < 10 && !isOver(); tries++) {
      await until(hasDwelt);
      await pause(300);
      hand.lift(bar);
      const isAsked = () => bench.state().inHand !== null;
      await until(() => bench.state().bars.bars.length > before || isAsked());
      if (bench.state().bars.bars.length > before) {
        onLifted?.(contentOf(bar));
        return true;
      }
      hand.put(bar, pan);
      await pause(1200);
      if (!(await trim(bar))) return false;
    }
    return false;
  }

  /** Adds and takes off until the number is in the band. @returns whether there was mix enough */
  async function trim(bar: Holder): Promise<boolean> {
    for (let tries = 0; tries < 20 && !isOver(); tries++) {
      await until(() => bench.numbers().settled);
      const load = bench.numbers().load;
      if (load === undefined) return false;
      if (judge(load, bench.state().aim) === 'in') return true;
      const wanted = Math.round(setPoint + random.normal() * TRIMMED - load);
      if (wanted < 0) move(bar, bowl, mass(-wanted));
      else if (contentOf(bowl) === 0) return false;
      else move(bowl, bar, mass(wanted));
      await pause(1000);
    }
    return false;
  }

  /** What stands there is the offcut; then the crumbs. */
  async function leaveOver(): Promise<void> {
    bench.answer({ kind: 'end' });
    await pause(500);
    await until(hasDwelt);
    bench.answer({ kind: 'left-over', what: 'offcut' });
    await until(() => bench.state().writing.length === 0);
    for (const each of [...pan.standing]) hand.lift(each);
    await until(isEmpty);
    if (contentOf(crumbs) > 0) {
      hand.put(crumbs, pan);
      await pause(1200);
      await until(hasDwelt);
      bench.answer({ kind: 'left-over', what: 'crumbs' });
      await until(() => bench.state().writing.length === 0);
      hand.lift(crumbs);
      await until(isEmpty);
    }
    bench.answer({ kind: 'done' });
  }
}
