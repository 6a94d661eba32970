/** The keys of portioning on a pan told by hand: what ends it, and what a key says that can't act yet. */
import { expect, test } from 'vitest';
import { createPortionControls } from '../../src/cli/portion/portionControls.ts';
import type { Mass } from '../../src/mass/mass.ts';
import { portionLiveOf } from '../../src/screen/fill/portionLive.ts';
import { portionViewOf } from '../../src/screen/fill/portionView.ts';
import { aBar, barsBegin } from '../facts/sampleBars.ts';
import { createRig, g, type Rig } from '../portion/rig.ts';

function keysOf(rig: Rig, savedMs = 0) {
  const never = () => expect.fail('it must not come to this');
  const bench = {
    start: never,
    stop: never,
    declareEmpty: never,
    retry: never,
    numbers: never,
    failure: () => null,
    state: rig.state,
    answer: rig.answer,
  };
  const clock = { now: () => 0, setTimeout: () => 0, clearTimeout: () => {} };
  const keys = createPortionControls({ bench, clock, savedMs, onLeave: never, onView: () => {} });
  const view = (load?: Mass) => {
    const { page, saved, why } = keys;
    const around = { title: '', by: '', page, saved, why, failure: null, notes: [], load, settled: true };
    return portionViewOf(rig.state(), around);
  };
  return { keys, view };
}

// 450 g of mix in all
const two = [barsBegin, aBar(1, 75), aBar(2, 75.3)];

test('the end with more than a bar of the mix unweighed is asked once', () => {
  const rig = createRig(two);
  const { keys, view } = keysOf(rig);
  rig.empty();
  keys.press('e');
  keys.press('enter');
  expect(rig.facts()).toEqual([]);
  expect(view().say).toMatch(/^299\.7 g of the mix is not weighed\. Really all\?/);
  keys.press('escape');
  expect(view().headline).toBe('LEFT OVER');
  keys.press('enter');
  keys.press('enter');
  expect(rig.facts()).toEqual([{ kind: 'portioning-ended' }]);
});

test('with less than a bar left it ends at once', () => {
  const rig = createRig([...two, aBar(3, 75), aBar(4, 75), aBar(5, 76.4)]);
  const { keys } = keysOf(rig);
  rig.empty();
  keys.press('e');
  keys.press('enter');
  expect(rig.facts()).toEqual([{ kind: 'portioning-ended' }]);
});

test('what is left over and not at rest yet is not swallowed: the key says why, until it can act', () => {
  const rig = createRig(two);
  const { keys, view } = keysOf(rig);
  rig.empty();
  keys.press('e');
  keys.press('o');
  expect(view().say).toBe('Nothing is written down yet: put it on the pan, and wait for WHICH.');
  rig.stands(41, { early: true });
  keys.press('o');
  expect(view().say).toMatch(/^Nothing is written down yet.*wait for WHICH/);
  rig.stands(41);
  expect(view().headline).toBe('WHICH');
  expect(view().say).toMatch(/^Is it an offcut/);
  keys.press('o');
  expect(rig.facts()).toMatchObject([{ kind: 'left-over', what: 'offcut' }]);
});

test('a piece lifted before it had stood: how it may be kept is said, by the words and by the key', () => {
  const rig = createRig(two);
  const { keys, view } = keysOf(rig);
  rig.empty();
  rig.stands(40, { early: true });
  rig.empty();
  expect(view()).toMatchObject({ headline: 'UNDER', say: expect.stringMatching(/To keep it as it is, let it stand/) });
  keys.press('s');
  expect(view().say).toMatch(/^It did not stand long enough/);
  rig.bar(40);
  keys.press('s');
  expect(rig.facts()).toMatchObject([{ kind: 'bar', bar: 3, verdict: 'short' }]);
  expect(view().done.at(-1)).toEqual({ name: 'Bar 3, short', net: '40.0 g' });
});

test('LIFT means one thing only: a number that can not be believed asks for it AGAIN', () => {
  const rig = createRig(two);
  const { view } = keysOf(rig);
  rig.empty();
  rig.stands(75, { doubted: true });
  expect(view().headline).toBe('AGAIN');
  rig.stands(75.1);
  expect(view().headline).toBe('LIFT');
});

test('a press jam and a second pressing are noted in words, until the next scoop', () => {
  const rig = createRig(two);
  const { keys, view } = keysOf(rig);
  rig.empty();
  const before = view().say;
  keys.press('j');
  expect(view().say).toBe('Noted: the press jammed on bar 2.');
  keys.press('a');
  expect(view().say).toBe('Noted: bar 2 was pressed again.');
  expect(rig.facts()).toEqual([
    { kind: 'bar-pressed', bar: 2, why: 'jam' },
    { kind: 'bar-pressed', bar: 2, why: 'again' },
  ]);
  rig.stands(40);
  expect(view().say).not.toMatch(/^Noted/);
  rig.empty();
  expect(before).not.toMatch(/^Noted/);
});

test('before the first bar nothing can have been pressed, and that is said', () => {
  const rig = createRig([barsBegin]);
  const { keys, view } = keysOf(rig);
  rig.empty();
  keys.press('j');
  expect(rig.facts()).toEqual([]);
  expect(view().say).toBe('No bar has been counted yet that could have been pressed.');
});

test('what is said of the press is of the bar that is written down: the last one still in the lot', () => {
  const rig = createRig(two);
  const { keys, view } = keysOf(rig);
  rig.empty();
  keys.press('u');
  keys.press('j');
  expect(view().say).toBe('Noted: the press jammed on bar 1.');
  expect(rig.facts().at(-1)).toEqual({ kind: 'bar-pressed', bar: 1, why: 'jam' });
});

test('a bar that was taken back or out is said to be, by its number, in place of COUNTED', () => {
  const rig = createRig(two);
  const { keys, view } = keysOf(rig, 1_000);
  rig.empty();
  rig.bar(74.9);
  keys.counted();
  expect(view().headline).toBe('COUNTED');
  keys.press('u');
  expect(view()).toMatchObject({ headline: 'BAR 4', say: 'Bar 3 is taken back: its mix goes back to the rest.' });
  // The empty pan trembles: still said.
  rig.happens({ kind: 'moving', scale: 'bench', at: 0 });
  rig.input({ kind: 'live', load: g(0.1) });
  expect(view(g(0.1)).say).toMatch(/^Bar 3 is taken back/);
  keys.press('p');
  keys.typed('1');
  keys.press('s');
  expect(view(g(0.1)).say).toBe('Bar 1 is taken out of the lot, and set aside.');
  rig.stands(60);
  expect(view(g(60)).say).toMatch(/^Add mix/);
  // Nor is it said again once the pan is empty as it was then.
  rig.stands(75);
  rig.empty();
  keys.counted();
  expect(view(g(0)).say).toBe('Bar 4 is counted. Put the next scoop on.');
});

test('a scale in trouble is named with what it does and what to do, not only as none', () => {
  const rig = createRig(two);
  const { view } = keysOf(rig);
  rig.empty();
  rig.happens({ kind: 'trouble', scale: 'bench', at: 0, trouble: 'wrong-unit' });
  expect(view()).toMatchObject({
    headline: 'STOP',
    say: 'The bench scale shows another unit than it should. Press its unit key until it is right again.',
  });
  rig.happens({ kind: 'silent', scale: 'bench', at: 0, say: null });
  expect(view().headline).toBe('NO SCALE');
});

test('the bar before is off and its follower too: the pan is only to be left empty', () => {
  const rig = createRig(two);
  const { view } = keysOf(rig);
  rig.empty();
  rig.stands(75);
  rig.input({ kind: 'live', load: g(0) });
  rig.stands(60);
  expect(view(g(60)).headline).toBe('TAKE OFF');
  rig.happens({ kind: 'moving', scale: 'bench', at: 0 });
  rig.input({ kind: 'live', load: g(0) });
  expect(view(g(0)).headline).toBe('WAIT');
});

test('what stayed on the pan when a bar was lifted is said, and no bar is promised to count', () => {
  const rig = createRig(two);
  const { view } = keysOf(rig);
  rig.empty();
  rig.stands(75.2);
  rig.input({ kind: 'live', load: g(0) });
  rig.stands(3.2);
  expect(view(g(3.2))).toMatchObject({
    headline: 'TAKE OFF',
    say: expect.stringMatching(/^3\.2 g is still on the pan/),
  });
  rig.empty();
  expect(view(g(0))).toMatchObject({ headline: 'AGAIN', say: expect.stringMatching(/^3\.2 g stayed on the pan/) });
});

test('u that can take nothing back says why, and is not offered', () => {
  const rig = createRig(two);
  const { keys, view } = keysOf(rig);
  rig.empty();
  const offered = () => view().choices.some(({ key }) => key === 'u');
  expect(offered()).toBe(true);
  rig.stands(75, { early: true });
  rig.empty();
  expect(offered()).toBe(false);
  keys.press('u');
  expect(rig.facts()).toEqual([]);
  expect(view().say).toMatch(/^First put back the bar in your hand/);
  const none = keysOf(createRig([barsBegin]));
  none.keys.press('u');
  expect(none.view().say).toBe('No bar is in the lot that could go back into the mix.');
});

test('an empty pan that trembles is still empty: no word changes for it, and no number is shown', () => {
  const rig = createRig(two);
  const { view } = keysOf(rig);
  const numbers = { gross: g(0.1), load: g(0.1), fresh: true, settled: false, trouble: false, refused: 0 };
  const moves = (grams: number) => {
    rig.happens({ kind: 'moving', scale: 'bench', at: 0 });
    rig.input({ kind: 'live', load: g(grams) });
  };
  rig.empty();
  moves(0.1);
  expect(view(g(0.1)).headline).toBe('BAR 3');
  expect(portionLiveOf(rig.state(), numbers)).toMatchObject({ remaining: undefined, lane: undefined });
  // A scoop that is lifted before it came to rest: what becomes of it is open until the empty pan is seen.
  moves(60);
  expect(view(g(60)).headline).toBe('ADD');
  moves(0.1);
  expect(view(g(0.1)).headline).toBe('WAIT');
  rig.happens({ kind: 'emptied', scale: 'bench', at: 0, zero: g(0), shift: g(0), pressed: g(60) });
  expect(view(g(0)).headline).toBe('TOO SOON');
  moves(-0.1);
  expect(view(g(-0.1)).headline).toBe('TOO SOON');
});
