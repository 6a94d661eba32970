/** Scales that are silent by habit: at rest only, once at rest, or at a key. */
import { expect, test } from 'vitest';
import { mass } from '../../src/mass/mass.ts';
import { type SignalConfig, type SignalInput, STILL, step } from '../../src/signal/signal.ts';
import type { Rhythm } from '../../src/wire/reading.ts';

const D = mass(100_000);

function config(rhythm: Rhythm): SignalConfig {
  return {
    scale: 'bench',
    d: D,
    repeatability: undefined,
    rhythm,
    linesPerSecond: 5,
    unit: 'g',
    dwellMs: 1000,
    sleepsAfterMs: undefined,
  };
}

const reading = (at: number, intervals: number, stable?: boolean): SignalInput => ({
  kind: 'reading',
  reading: { mass: mass(intervals * D), unit: 'g', stable, at, raw: '' },
});

/** Feeds what comes, with a tick every 100 ms, and says what happened and when. */
function happened(rhythm: Rhythm, inputs: readonly SignalInput[], untilMs: number): string[] {
  let state = STILL;
  const told: string[] = [];
  const feed = (input: SignalInput): void => {
    const next = step(state, input, config(rhythm));
    state = next.state;
    for (const { kind, at } of next.happenings) told.push(`${kind} ${Math.round(at / 100) / 10}`);
  };
  const waiting = [...inputs];
  for (let at = 0; at <= untilMs; at += 100) {
    const due = waiting.filter((input) => 'reading' in input && input.reading.at <= at);
    for (const input of due) feed(waiting.splice(waiting.indexOf(input), 1)[0] ?? input);
    feed({ kind: 'tick', at });
  }
  return told;
}

const lines = (from: number, to: number, intervals: number): SignalInput[] =>
  Array.from({ length: (to - from) / 200 }, (_, index) => reading(from + index * 200, intervals));

test('while settled: a pause in the lines means moving, however long it is, and never silent', () => {
  const told = happened('while-settled', [...lines(0, 3000, 0), ...lines(20_000, 24_000, 2964)], 24_000);
  expect(told.map((line) => line.split(' ')[0])).toEqual(['emptied', 'moving', 'settled', 'dwelt']);
  const movedAt = Number(told[1]?.split(' ')[1]);
  expect(movedAt).toBeGreaterThan(2.8);
  expect(movedAt).toBeLessThan(4);
});

test('once settled: the one line holds until the next', () => {
  const told = happened('on-settled', [reading(0, 0), reading(10_000, 2964)], 3_600_000);
  expect(told.map((line) => line.split(' ')[0])).toEqual(['emptied', 'moving', 'settled', 'dwelt']);
});

test('once settled: each level is told as one that a pour may have left unheard; of no other rhythm it is', () => {
  const heard = (rhythm: Rhythm) => {
    let state = STILL;
    const levels: (boolean | undefined)[] = [];
    const inputs = [reading(0, 0), ...lines(1000, 5000, 2964)];
    for (let at = 0; at <= 8000; at += 100) {
      const due = inputs.filter((input) => 'reading' in input && input.reading.at === at);
      for (const input of [...due, { kind: 'tick', at } as const]) {
        const next = step(state, input, config(rhythm));
        state = next.state;
        for (const each of next.happenings) {
          if (each.kind === 'settled' || each.kind === 'dwelt') levels.push(each.unheard);
        }
      }
    }
    return levels;
  };
  expect(heard('on-settled')).toEqual([true, true]);
  for (const rhythm of ['continuous', 'on-change', 'asked', 'while-settled'] as const) {
    expect(heard(rhythm), rhythm).toEqual([undefined, undefined]);
  }
});

test('at a key: what it sends is what the maker says, at once; a line that says "moving" is not', () => {
  const told = happened('on-key', [reading(0, 0), reading(5000, 2900, false), reading(9000, 2964)], 3_600_000);
  expect(told).toEqual(['emptied 0', 'settled 9', 'dwelt 9']);
});
