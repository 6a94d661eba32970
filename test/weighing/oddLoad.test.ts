/** What stands there is not what should: another unit, something spilt, a zero set under a load; and a display that is not believed. */
import { describe, expect, it, test } from 'vitest';
import { choicesFor } from '../../src/screen/fill/choices.ts';
import { wordsFor } from '../../src/screen/fill/words.ts';
import { panEvent } from '../../src/weighing/events.ts';
import { isLittle, otherUnitNow } from '../../src/weighing/oddLoad.ts';
import { isZeroedUnder } from '../../src/weighing/zeroNow.ts';
import { pan, type Rig, startChart, yes } from './chartRig.ts';
import { aDraw, aPlan, dye, g, oil, ug } from './samplePlan.ts';

const begin = async (...tasks: ReturnType<typeof aDraw>[]): Promise<Rig> => {
  const rig = await startChart([{ kind: 'gathered' }], aPlan(tasks));
  await rig.tell(pan.empties('bench'), pan.empties('fine'));
  return rig;
};
const says = (rig: Rig) => `${wordsFor(rig.snapshot).headline}: ${wordsFor(rig.snapshot).say}`;
const keys = (rig: Rig) => choicesFor(rig.snapshot).map(({ key }) => key);

describe('a display set to another unit while the pan was empty', () => {
  it.each([
    ['oz', 300 / 28.349523125],
    ['gr', 300 / 0.06479891],
    ['mg', 300_000],
  ])('%s: the bowl of 300 g shows so, and can not be taken as it is', async (unit, shown) => {
    const rig = await begin(aDraw('A1'));
    await rig.tell(pan.settles('bench', Math.round(shown * 10) / 10), pan.dwells('bench', Math.round(shown * 10) / 10));
    expect(otherUnitNow(rig.snapshot.context)).toBe(unit);
    expect(says(rig)).toMatch(/^UNIT: .* would be Bowl if the bench scale showed /);
    expect(keys(rig)).toEqual(['x']);
    await rig.tell(yes);
    expect(rig.written).toEqual([]);
  });

  it('in the middle of a draw, a far heavier number is no over-pour that could be confirmed', async () => {
    const rig = await begin(aDraw('A1'));
    await rig.tell(pan.settles('bench', 300), pan.dwells('bench', 300), pan.moves('bench'));
    await rig.tell(pan.settles('bench', 5401.3), pan.dwells('bench', 5401.3), yes); // 350 g in grains
    expect(otherUnitNow(rig.snapshot.context)).toBe('gr');
    expect(rig.written.map(({ kind }) => kind)).toEqual(['placed']);
  });

  it('another vessel that is known stays that vessel', async () => {
    const rig = await begin(oil);
    await rig.tell(pan.settles('fine', 150));
    expect(says(rig)).toMatch(/^CHANGE: Take Beaker off/);
  });

  it('an odd vessel is one that the maker may vouch for', async () => {
    const rig = await begin(aDraw('A1'));
    await rig.tell(pan.settles('bench', 320), pan.dwells('bench', 320));
    expect(otherUnitNow(rig.snapshot.context)).toBeUndefined();
    expect(keys(rig)).toEqual(['u', 'x']);
  });
});

describe('a little that stays on the pan when the vessel is lifted', () => {
  it('is to be wiped off, or is the zero if the maker says that the pan is empty; and is no vessel', async () => {
    const rig = await begin(aDraw('A1'), aDraw('A2'));
    await rig.tell(pan.settles('bench', 300), pan.dwells('bench', 300), pan.moves('bench'));
    await rig.tell(pan.settles('bench', 400), pan.dwells('bench', 400), pan.moves('bench'), pan.settles('bench', 1.4));
    expect(isLittle(rig.snapshot.context)).toBe(true);
    expect(says(rig)).toMatch(/^WIPE: 1.4 g is still on the bench scale/);
    expect(keys(rig)).toEqual(['e', 'x']);
    await rig.tell(yes);
    expect(rig.written.map(({ kind }) => kind)).not.toContain('held');
    // The key `e` tells the signal, which says that the pan is empty.
    await rig.tell(pan.emptiesBy('bench', 1.4));
    expect(rig.written.at(-1)).toMatchObject({ kind: 'zero-shifted', shift: g(1.4), draws: ['A1'] });
  });

  it('a vessel however light is not little', async () => {
    const rig = await begin(aDraw('A1'));
    await rig.tell(pan.settles('bench', 25));
    expect(isLittle(rig.snapshot.context)).toBe(false);
  });
});

describe("the display's own zero within the draw", () => {
  const on = (scale: 'bench' | 'fine', load: number, zero: number) =>
    panEvent({ kind: 'settled', scale, at: 0, load: g(load), gross: g(load + zero), zeroKnown: true });
  it.each<[string, ReturnType<typeof aDraw>, number, number, boolean]>([
    ['zeroed under the bowl', aDraw('A1'), 300, -300, true],
    ['zeroed under a lighter vessel: shows 150 g and grows', aDraw('A1'), 300, -150, false],
    ['zeroed under a heavier one: 100 g more bring the display through zero', aDraw('A1'), 300, -350, true],
    ['zeroed under a far heavier one', aDraw('A1'), 300, -900, false],
    ['an ordinary drift', aDraw('A1'), 300, -0.5, false],
    ['the jar, zeroed', dye, 80, -80, true],
    ['zeroed with a little less than the jar: 0.8 g out of it brings the display through zero', dye, 80, -79.5, true],
    ['zeroed with a little more than the jar: it only shows less and less', dye, 80, -80.5, false],
    ['a light cup of paper', { ...aDraw('A1'), on: 'cup', way: 'cup' }, 5, -5, true],
  ])('%s', async (_, draw, load, zero, blocked) => {
    const rig = await begin(draw);
    await rig.tell(on(draw.scale as 'bench', load, zero));
    expect(isZeroedUnder(rig.snapshot.context)).toBe(blocked);
  });

  it('holds the pour off until the empty pan is the zero', async () => {
    const rig = await begin(aDraw('A1'));
    await rig.tell(on('bench', 300, -350));
    expect(rig.state).toBe('placing');
    expect(says(rig)).toMatch(/^ZERO: The bench scale has its zero with something on. Lift Bowl off/);
    expect(keys(rig)).toEqual(['e', 'x']);
  });
});

test('a display that is not believed makes no over-pour: the lot would pay for what never left it', async () => {
  const rig = await begin(aDraw('A1'));
  await rig.tell(pan.settles('bench', 300), pan.dwells('bench', 300), pan.moves('bench'));
  const frozen = { scale: 'bench', at: 0, load: g(450), gross: g(450), zeroKnown: true, doubted: true };
  await rig.tell(panEvent({ kind: 'settled', ...frozen }));
  expect(rig.written.map(({ kind }) => kind)).toEqual(['placed']);
  expect(says(rig)).toMatch(/^LIFT: The number stopped too suddenly/);
  await rig.tell(pan.moves('bench'), pan.empties('bench'), pan.moves('bench'), pan.settles('bench', 400));
  await rig.tell(pan.dwells('bench', 400));
  expect(rig.written.at(-1)).toMatchObject({ kind: 'weighed', net: ug(100_000_000), takenBack: 0 });
});
