import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createLiveStore, createStore } from '../../src/screen/liveStore.ts';
import { type LiveView, NO_LIVE } from '../../src/screen/view.ts';
import { drawLive, GLUCOSIDE } from './scenes.ts';
import { HandClock } from './seenTerminal.ts';

/** A live store with a clock, and all that it has let through. */
function watched(paceMs = 50) {
  const clock = new HandClock();
  const store = createLiveStore(clock, paceMs);
  const seen: (string | undefined)[] = [];
  store.subscribe(() => seen.push(store.getSnapshot().net));
  const weigh = (net: number, more: Partial<LiveView> = {}) => store.set({ ...drawLive(net, GLUCOSIDE), ...more });
  return { clock, store, seen, weigh };
}

describe('the live store', () => {
  it('lets the first value through at once', () => {
    const { seen, weigh } = watched();
    weigh(1);
    expect(seen).toEqual(['1.0']);
  });

  it('holds a value back until its time, and lets the newest through then', () => {
    const { clock, seen, weigh } = watched();
    weigh(1);
    clock.move(10);
    weigh(2);
    clock.move(10);
    weigh(3);
    clock.move(29);
    expect(seen).toEqual(['1.0']);
    clock.move(1);
    expect(seen).toEqual(['1.0', '3.0']);
  });

  it('tells the loss of the scale at once, and its return', () => {
    const { clock, seen, store, weigh } = watched();
    weigh(1);
    clock.move(1);
    weigh(1.5);
    weigh(2, { fresh: false });
    expect(store.getSnapshot().fresh).toBe(false);
    weigh(3);
    expect(store.getSnapshot().net).toBe('3.0');
    clock.move(1000);
    expect(seen, 'what was held back before does not come after').toEqual(['1.0', '2.0', '3.0']);
  });

  it('lets nothing through that would look the same', () => {
    const { clock, seen, weigh } = watched();
    weigh(1);
    clock.move(1000);
    weigh(1);
    clock.move(1000);
    weigh(1, { state: 'settled' });
    expect(seen).toEqual(['1.0', '1.0']);
  });

  it('forgets what it held back when the number has come back meanwhile', () => {
    const { clock, seen, weigh } = watched();
    weigh(1);
    clock.move(10);
    weigh(2);
    clock.move(10);
    weigh(1);
    clock.move(1000);
    expect(seen).toEqual(['1.0']);
  });

  it('lets through at once what belongs to another question, so that no old number stands under new words', () => {
    const { clock, seen, store } = watched();
    store.set(drawLive(92.8, GLUCOSIDE));
    clock.move(1);
    store.set(drawLive(92.9, GLUCOSIDE));
    store.set(drawLive(0, GLUCOSIDE), true);
    expect(store.getSnapshot().net).toBe('0.0');
    clock.move(1000);
    expect(seen).toEqual(['92.8', '0.0']);
  });

  it('ends with the last value, whatever the pace, and never goes back', () => {
    fc.assert(
      fc.property(
        fc.array(fc.nat(120), { minLength: 1, maxLength: 60 }),
        fc.integer({ min: 1, max: 200 }),
        (waits, pace) => {
          const { clock, seen, weigh } = watched(pace);
          waits.forEach((wait, index) => {
            clock.move(wait);
            weigh(index);
          });
          clock.move(pace);
          expect(seen.at(-1)).toBe(`${waits.length - 1}.0`);
          const numbers = seen.map(Number);
          expect(numbers).toEqual(numbers.toSorted((a, b) => a - b));
        },
      ),
    );
  });

  it('lets at most about 20 changes a second through', () => {
    const { clock, seen, weigh } = watched();
    for (let reading = 0; reading < 100; reading++) {
      weigh(reading);
      clock.move(10);
    }
    expect(seen.length).toBeLessThanOrEqual(21);
    expect(seen.length).toBeGreaterThanOrEqual(19);
  });

  it('cleans the texts', () => {
    const { store, weigh } = watched();
    weigh(1, { scaleName: 'bench\x1b[2J', caption: 'a\u202eb' });
    expect(store.getSnapshot()).toMatchObject({ scaleName: 'bench', caption: 'ab' });
  });

  it('begins with nothing, and tells nothing after it was stopped', () => {
    const { clock, store, seen, weigh } = watched();
    expect(store.getSnapshot()).toBe(NO_LIVE);
    weigh(1);
    weigh(2);
    store.stop();
    clock.move(1000);
    expect(seen).toEqual(['1.0']);
  });
});

it('a plain store tells changes only, and only to those who still listen', () => {
  const store = createStore(1);
  const seen: number[] = [];
  const leave = store.subscribe(() => seen.push(store.getSnapshot()));
  store.set(1);
  store.set(2);
  leave();
  store.set(3);
  expect(seen).toEqual([2]);
  expect(store.getSnapshot()).toBe(3);
});
