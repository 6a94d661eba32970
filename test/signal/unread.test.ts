/** Lines that do not fit the profile: an old reading never lives on behind them. */
import { describe, expect, it, test } from 'vitest';
import { isCurrent } from '../../src/signal/unread.ts';
import type { Rhythm } from '../../src/wire/reading.ts';
import { aConfig, brief, listenTo } from './told.ts';

const quiet: readonly Rhythm[] = ['on-change', 'on-settled', 'while-settled', 'on-key'];
const talking: readonly Rhythm[] = ['continuous', 'asked'];

/** A vessel of 300 g stands there, at rest, and the zero is known. */
function standing(rhythm: Rhythm) {
  const told = listenTo(aConfig({ rhythm }));
  told.show(0, 2000);
  told.show(300, 3000);
  return told;
}

/** So many lines that can't be read, a tenth of a second apart. */
function garble(told: ReturnType<typeof listenTo>, lines: number) {
  const from = told.happenings.length;
  for (let line = 0; line < lines; line++) {
    told.now += 100;
    told.feed({ kind: 'refused', at: told.now });
    told.feed({ kind: 'tick', at: told.now });
  }
  return brief(told.happenings.slice(from));
}

describe.each(quiet)('of a scale that speaks %s', (rhythm) => {
  it('the first one already ends the level, and silence after it does not bring it back', () => {
    const told = standing(rhythm);
    expect(told.state.level).toBeDefined();
    expect(garble(told, 1)).toEqual(['moving']);
    expect(told.state.level).toBeUndefined();
    expect(isCurrent(told.state.unread, { rhythm })).toBe(false);
    expect(brief(told.quiet(900))).toEqual([]);
  });

  it('is told as trouble when no good one follows, once, and is over with the next good one, by the same zero', () => {
    const told = standing(rhythm);
    garble(told, 1);
    expect(brief(told.quiet(3000))).toEqual(['trouble unread']);
    expect(garble(told, 5)).toEqual([]);
    const back = brief(told.show(310, 3000));
    expect(back.slice(0, 2)).toEqual(['trouble-over', 'settled 310']);
    expect(isCurrent(told.state.unread, { rhythm })).toBe(true);
  });

  it('a good one soon after is as if nothing had been', () => {
    const told = standing(rhythm);
    garble(told, 1);
    expect(brief(told.show(300, 3000)).slice(0, 2)).toEqual(['settled 300', 'dwelt 300']);
  });
});

describe.each(talking)('of a scale that speaks %s', (rhythm) => {
  it('one now and then changes nothing', () => {
    const told = standing(rhythm);
    const from = told.happenings.length;
    for (let times = 0; times < 5; times++) {
      garble(told, 1);
      told.show(300, 500);
    }
    expect(told.happenings.slice(from)).toEqual([]);
  });

  it('a run of them ends the level, and is trouble after as long as silence would be', () => {
    const told = standing(rhythm);
    expect(garble(told, 2)).toEqual(['moving']);
    expect(isCurrent(told.state.unread, { rhythm })).toBe(false);
    expect(garble(told, 8)).toEqual([]);
    expect(garble(told, 5)).toEqual(['trouble unread']);
    expect(brief(told.show(310, 2500))).toEqual(['trouble-over', 'settled 310', 'dwelt 310']);
  });

  it('silence after them is silence in the end', () => {
    const told = standing(rhythm);
    garble(told, 1);
    expect(brief(told.quiet(5000))).toEqual(['trouble unread', 'silent']);
    expect(told.state.zeroKnown).toBe(false);
  });
});

test('a scale that has said nothing readable yet is told as unreadable, not as off', () => {
  const told = listenTo(aConfig());
  expect(garble(told, 20)).toEqual(['trouble unread']);
});

test('what came late is not the last word', () => {
  const told = standing('on-change');
  expect(told.feed({ kind: 'refused', at: told.now - 500 })).toEqual([]);
  expect(told.state.level).toBeDefined();
});

test('a lost link is a lost link, whatever it garbled before', () => {
  const told = standing('on-change');
  garble(told, 1);
  expect(brief(told.feed({ kind: 'lost', at: told.now, say: 'The cable is out.' }))).toEqual(['silent']);
  expect(brief(told.quiet(5000))).toEqual([]);
});
