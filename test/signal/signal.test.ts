import { describe, expect, it } from 'vitest';
import { STILL, step } from '../../src/signal/signal.ts';
import { silenceLimit } from '../../src/signal/silence.ts';
import { aConfig, brief, g, listenTo, type Told } from './told.ts';

/** A scale that has shown its empty pan. */
function emptyPan(config = aConfig()): Told {
  const told = listenTo(config);
  expect(brief(told.show(0, 2000))).toEqual(['emptied']);
  return told;
}

describe('levels', () => {
  it('tells moving, settled and, once per level, dwelt', () => {
    const told = emptyPan();
    expect(brief(told.show(300, 5000))).toEqual(['moving', 'settled 300', 'dwelt 300']);
    expect(brief(told.show(350, 400))).toEqual(['moving']);
    expect(brief(told.show(350, 5000))).toEqual(['settled 350', 'dwelt 350']);
  });

  it('has dwelt when the level has stood for the dwell time, by a reading of that moment', () => {
    const told = emptyPan(aConfig({ dwellMs: 1500 }));
    told.show(300, 3000);
    const [settled, dwelt] = told.happenings.slice(-2);
    expect(dwelt).toMatchObject({ kind: 'dwelt', load: g(300), gross: g(300), keyed: false });
    expect((dwelt?.at ?? 0) - (settled?.at ?? 0)).toBe(1500);
  });

  it('begins to dwell anew when it moved in between', () => {
    const told = emptyPan();
    told.show(300, 1200);
    told.show(310, 100);
    expect(brief(told.show(300, 1500))).toEqual(['settled 300']);
    expect(brief(told.show(300, 200))).toEqual(['dwelt 300']);
  });

  it('creeping up while it dwells: the last word is the weight that it dwelt at', () => {
    const told = emptyPan();
    told.show(300, 900);
    const creep = [300, 300.1, 300, 300.1, 300.1, 300, 300.1, 300.1, 300.1, 300.1, 300.1, 300.1];
    const said = creep.flatMap((each) => brief(told.show(each, 100)));
    expect(said.at(-1)).toMatch(/^(settled|dwelt) 300.1$/);
    expect(brief(told.show(300.1, 3000)).length).toBeLessThanOrEqual(1);
    expect(brief(told.happenings).at(-1)).toBe('dwelt 300.1');
  });

  it('a small step to a new level is told without a pause at "moving"', () => {
    const told = emptyPan();
    told.show(300, 3000);
    expect(brief(told.show(300.2, 3000))).toEqual(['moving', 'settled 300.2', 'dwelt 300.2']);
    expect(brief(told.show(300.3, 3000))).toEqual(['settled 300.3', 'dwelt 300.3']);
  });

  it('what is older than the last word from the scale is left out', () => {
    const told = emptyPan();
    told.show(300, 3000);
    const before = told.state;
    const late = before.lastAt === undefined ? 0 : before.lastAt - 1;
    expect(
      told.feed({ kind: 'reading', reading: { mass: g(7), unit: 'oz', stable: true, at: late, raw: '' } }),
    ).toEqual([]);
    expect(told.feed({ kind: 'condition', condition: 'fault', at: late })).toEqual([]);
    expect(told.feed({ kind: 'tick', at: late - 60_000 })).toEqual([]);
    expect(told.state).toBe(before);
  });

  it('a lost link is lost, whenever it is told', () => {
    const told = emptyPan();
    expect(brief(told.feed({ kind: 'lost', at: 0, say: 'unplugged' }))).toEqual(['silent']);
  });

  it('never changes the state that it was given', () => {
    const frozen = Object.freeze({ ...STILL, window: Object.freeze([]) as readonly never[] });
    const reading = { mass: g(1), unit: 'g', stable: undefined, at: 1, raw: '' } as const;
    expect(step(frozen, { kind: 'reading', reading }, aConfig()).state.window).toHaveLength(1);
  });
});

describe('the empty pan', () => {
  it('is the zero, wherever its reading lies within ten intervals', () => {
    const told = listenTo(aConfig());
    expect(brief(told.show(0.4, 2000))).toEqual(['emptied at 0.4']);
    expect(brief(told.show(300.4, 3000))).toEqual(['moving', 'settled 300', 'dwelt 300']);
    expect(brief(told.show(-0.3, 1000))).toEqual(['moving', 'emptied at -0.3']);
    expect(brief(told.show(300.4, 1000))).toEqual(['moving', 'settled 300.7']);
  });

  it('is not known at the start, when something stands there', () => {
    const told = listenTo(aConfig());
    expect(brief(told.show(300, 3000))).toEqual(['settled 300?', 'dwelt 300?']);
    expect(brief(told.show(0, 1000))).toEqual(['moving', 'emptied']);
  });

  it('is known when the maker says that it is empty', () => {
    const told = listenTo(aConfig());
    told.show(12.5, 1000);
    expect(brief(told.feed({ kind: 'declared-empty', at: told.now }))).toEqual(['emptied at 12.5']);
    expect(brief(told.show(312.5, 1000))).toEqual(['moving', 'settled 300']);
  });

  it.each<[string, (told: Told) => void]>([
    ['moves', (told) => told.show(50, 100)],
    ['is silent', (told) => told.quiet(2000)],
    ['shows another unit', (told) => told.show(3, 100, { unit: 'oz' })],
  ])('is not taken from the maker while it %s', (_, happens) => {
    const told = emptyPan();
    told.show(12, 1000);
    happens(told);
    expect(told.feed({ kind: 'declared-empty', at: told.now })).toEqual([]);
  });

  it('proved by a vessel of known weight, stays known for what is poured then', () => {
    const told = listenTo(aConfig());
    expect(brief(told.show(300, 1000))).toEqual(['settled 300?']);
    told.feed({ kind: 'proved', at: told.now });
    expect(brief(told.show(350, 1000))).toEqual(['moving', 'settled 350']);
  });
});

describe('the zero key pressed under a load', () => {
  it('is found when the load is lifted: the display goes below nothing, and that is the empty pan', () => {
    const told = emptyPan();
    told.show(300, 2000);
    expect(brief(told.show(0, 2000))).toEqual(['moving', 'emptied']);
    expect(brief(told.show(-300, 2000))).toEqual(['moving', 'emptied at -300']);
    expect(brief(told.show(0, 3000))).toEqual(['moving', 'settled 300', 'dwelt 300']);
    expect(brief(told.show(50, 1000))).toEqual(['moving', 'settled 350']);
  });

  it("a bump under a load that happens to show the scale's own zero changes nothing", () => {
    const told = emptyPan();
    told.show(300, 1000);
    told.show(0, 1000);
    told.show(-300, 1000);
    told.show(0, 1000);
    told.show(2, 100);
    expect(brief(told.show(0.1, 1000))).toEqual(['settled 300.1']);
  });

  it('pressed once more under the load, it is not believed', () => {
    const told = emptyPan();
    told.show(300, 1000);
    told.show(0, 1000);
    told.show(-300, 1000);
    told.show(60, 1000); // 360 stand there
    expect(brief(told.show(0, 1000))).toEqual(['moving', 'settled 300?']);
    expect(brief(told.show(-360, 1000))).toEqual(['moving', 'emptied at -360']);
    expect(brief(told.show(0, 1000))).toEqual(['moving', 'settled 360']);
  });
});

describe('silence', () => {
  it.each([
    { rhythm: 'continuous' as const, linesPerSecond: 10, is: 1000 },
    { rhythm: 'continuous' as const, linesPerSecond: 2, is: 2500 },
    { rhythm: 'asked' as const, linesPerSecond: 4, is: 1250 },
    { rhythm: 'on-change' as const, linesPerSecond: 5, is: undefined },
  ])('is five lines left out, at least a second: $rhythm, $linesPerSecond a second', ({ is, ...speaks }) => {
    expect(silenceLimit(aConfig(speaks))).toBe(is);
  });

  it('is told once, and so is the return', () => {
    const told = emptyPan();
    expect(brief(told.quiet(900))).toEqual([]);
    expect(brief(told.quiet(5000))).toEqual(['silent']);
    expect(told.happenings.at(-1)).toMatchObject({ kind: 'silent', say: null });
    expect(brief(told.show(0, 2000))).toEqual(['fresh', 'emptied']);
  });

  it('of a scale that speaks only on change is its habit, until it must have switched itself off', () => {
    const told = emptyPan(aConfig({ rhythm: 'on-change', sleepsAfterMs: 180_000 }));
    told.show(300, 3000);
    expect(brief(told.quiet(179_000))).toEqual([]);
    expect(brief(told.quiet(2000))).toEqual(['silent']);
    expect(told.happenings.at(-1)).toMatchObject({ say: expect.stringContaining('switched itself off') });
  });

  it('of a scale that speaks only on change is none of its habits after it has said that it moves', () => {
    const told = emptyPan(aConfig({ rhythm: 'on-change' }));
    told.show(300, 3000, { stable: true });
    expect(brief(told.show(350, 300, { stable: false }))).toEqual(['moving']);
    expect(brief(told.quiet(4900))).toEqual([]);
    expect(brief(told.quiet(200))).toEqual(['silent']);
    expect(told.happenings.at(-1)).toMatchObject({ say: null });
  });

  it('with the sentence of a lost link, which is not told twice', () => {
    const told = emptyPan();
    expect(told.feed({ kind: 'lost', at: told.now, say: 'unplugged' })).toMatchObject([
      { kind: 'silent', say: 'unplugged' },
    ]);
    expect(told.feed({ kind: 'lost', at: told.now, say: 'still unplugged' })).toEqual([]);
  });

  it('with its cause once that is known, although the silence was told before', () => {
    const told = emptyPan();
    expect(told.quiet(2000)).toMatchObject([{ kind: 'silent', say: null }]);
    expect(told.feed({ kind: 'lost', at: told.now, say: 'unplugged' })).toMatchObject([
      { kind: 'silent', say: 'unplugged' },
    ]);
    expect(told.feed({ kind: 'lost', at: told.now, say: null })).toEqual([]);
  });

  it('before anything was ever said is not told: the scale may just be off', () => {
    expect(listenTo(aConfig()).quiet(10_000)).toEqual([]);
  });
});

describe('after a gap', () => {
  const gaps: readonly (readonly [string, (told: Told) => void])[] = [
    ['silence', (told) => told.quiet(2000)],
    ['a lost link', (told) => told.feed({ kind: 'lost', at: told.now, say: null })],
    ['a fault', (told) => told.feed({ kind: 'condition', condition: 'fault', at: told.now })],
    ['less than its zero', (told) => told.feed({ kind: 'condition', condition: 'under-range', at: told.now })],
  ];
  const loaded = () => {
    const told = emptyPan();
    told.show(300, 2000);
    return told;
  };
  /** What a pan's levels are told as, without moving, fresh and the like. */
  const levels = (told: Told, grams: number) =>
    brief(told.show(grams, 1000)).filter((each) => /settled|emptied/.test(each));

  it.each(gaps)('of %s: back as it was, the zero is proved', (_, gap) => {
    const told = loaded();
    gap(told);
    expect(levels(told, 300.1)).toEqual(['settled 300.1']);
    expect(levels(told, 350)).toEqual(['settled 350']);
  });

  it.each(gaps)('of %s: another load is not proved, until the pan was empty', (_, gap) => {
    const told = loaded();
    gap(told);
    expect(levels(told, 340)).toEqual(['settled 340?']);
    expect(levels(told, 0)).toEqual(['emptied']);
    expect(levels(told, 340)).toEqual(['settled 340']);
  });

  it.each(gaps)('of %s: zero where a load stood may be a scale that zeroed itself under it', (_, gap) => {
    const told = loaded();
    gap(told);
    expect(levels(told, 0)).toEqual(['settled 0?']);
    // A bump of the table proves nothing either.
    told.show(3, 100);
    expect(levels(told, 0)).toEqual(['settled 0?']);
    expect(levels(told, -300)).toEqual(['emptied at -300']);
    expect(levels(told, 0)).toEqual(['settled 300']);
  });

  it.each(gaps)('of %s in mid-pour: neither is what stands there proved, nor a zero', (_, gap) => {
    const told = loaded();
    told.show(330, 100);
    told.show(340, 100);
    gap(told);
    expect(levels(told, 340)).toEqual(['settled 340?']);
    gap(told);
    expect(levels(told, 340)).toEqual(['settled 340?']);
    gap(told);
    expect(levels(told, 0)).toEqual(['settled 0?']);
  });

  it.each(gaps)('of %s: a zero that was not known before is not known by coming back', (_, gap) => {
    const told = listenTo(aConfig());
    told.show(300, 1000);
    gap(told);
    expect(levels(told, 300)).toEqual(['settled 300?']);
  });

  it.each(gaps)('of %s with an empty pan: it is empty still', (_, gap) => {
    const told = emptyPan();
    gap(told);
    expect(levels(told, 0)).toEqual(['emptied']);
  });

  it.each(gaps)('of %s with a zero of its own: the scale zeroed under the load again is not believed', (_, gap) => {
    const told = loaded();
    told.show(0, 1000); // zero pressed under the 300
    told.show(-300, 1000); // lifted
    expect(levels(told, 0)).toEqual(['settled 300']);
    gap(told); // 40 more go in, and it is switched off and on
    expect(levels(told, 0)).toEqual(['settled 300?']);
    expect(levels(told, -340)).toEqual(['emptied at -340']);
    expect(levels(told, 0)).toEqual(['settled 340']);
  });

  it('in a gap: what was known before the first one counts', () => {
    const told = loaded();
    told.quiet(2000);
    told.show(0, 100);
    told.quiet(2000);
    expect(levels(told, 0)).toEqual(['settled 0?']);
  });

  it('the maker may say that the pan is empty', () => {
    const told = loaded();
    told.quiet(2000);
    told.show(0, 1000);
    expect(brief(told.feed({ kind: 'declared-empty', at: told.now }))).toEqual(['emptied']);
    expect(levels(told, 300)).toEqual(['settled 300']);
  });
});

describe('trouble', () => {
  it('another unit is told once and is never a level, however long it stands', () => {
    const told = emptyPan();
    told.show(300, 2000);
    expect(brief(told.show(10.6, 10_000, { unit: 'oz' }))).toEqual(['trouble wrong-unit']);
    expect(told.state.level).toBeUndefined();
    expect(brief(told.show(300, 2000))).toEqual(['trouble-over', 'settled 300', 'dwelt 300']);
  });

  it.each(['over-range', 'under-range', 'fault'] as const)('%s is told once, and so is its end', (condition) => {
    const told = emptyPan();
    const say = () => brief(told.feed({ kind: 'condition', condition, at: told.now }));
    expect(say()).toEqual([`trouble ${condition}`]);
    expect(say()).toEqual([]);
    expect(brief(told.show(0, 1000))).toEqual(['trouble-over', 'emptied']);
  });

  it.each<[string, (told: Told) => void]>([
    ['another unit', (told) => told.show(10.5, 2000, { unit: 'oz' })],
    ['too much load', (told) => told.feed({ kind: 'condition', condition: 'over-range', at: told.now })],
  ])('%s leaves the zero as it was: the scale went on weighing', (_, happens) => {
    const told = emptyPan();
    told.show(300, 2000);
    happens(told);
    expect(brief(told.show(340, 1000))).toEqual(['trouble-over', 'settled 340']);
    happens(told);
    expect(brief(told.show(0, 1000))).toEqual(['trouble-over', 'emptied']);
  });

  it('another unit after silence does not make up for the silence', () => {
    const told = emptyPan();
    told.show(300, 2000);
    told.quiet(2000);
    told.show(10.5, 500, { unit: 'oz' });
    expect(brief(told.show(0, 1000))).toEqual(['trouble-over', 'settled 0?']);
  });

  it('one trouble after the other is told', () => {
    const told = emptyPan();
    told.feed({ kind: 'condition', condition: 'over-range', at: told.now });
    expect(brief(told.show(10, 300, { unit: 'oz' }))).toEqual(['trouble wrong-unit']);
  });

  it('silence in trouble, and the same trouble after it', () => {
    const told = emptyPan();
    told.show(10, 300, { unit: 'oz' });
    expect(brief(told.quiet(2000))).toEqual(['silent']);
    expect(brief(told.show(10, 300, { unit: 'oz' }))).toEqual(['fresh', 'trouble wrong-unit']);
    expect(brief(told.show(0, 1000))).toEqual(['trouble-over', 'emptied']);
  });

  it('of a scale that speaks on change lasts until it says a good figure', () => {
    const told = emptyPan(aConfig({ rhythm: 'on-change' }));
    told.feed({ kind: 'condition', condition: 'fault', at: told.now });
    expect(told.quiet(60_000)).toEqual([]);
    expect(told.state.trouble).toBe('fault');
  });
});

describe('a scale without a port', () => {
  const keyed = aConfig({ rhythm: 'on-change', linesPerSecond: 1, sleepsAfterMs: 60_000 });
  const type = (told: Told, grams: number) => brief(told.feed({ kind: 'keyed', gross: g(grams), at: told.now }));

  it('what is typed is settled and has dwelt at once', () => {
    const told = listenTo(keyed);
    expect(type(told, 0)).toEqual(['emptied']);
    expect(type(told, 300.2)).toEqual(['settled 300.2', 'dwelt 300.2']);
    expect(told.happenings.at(-1)).toMatchObject({ keyed: true, zeroKnown: true });
  });

  it('what is typed stands until the next is typed, and is never silent', () => {
    const told = listenTo(keyed);
    type(told, 0);
    type(told, 300);
    expect(told.quiet(600_000)).toEqual([]);
    expect(told.state.level?.gross).toBe(g(300));
    expect(type(told, 350)).toEqual(['settled 350', 'dwelt 350']);
  });

  it('may be declared empty', () => {
    const told = listenTo(keyed);
    type(told, 12);
    told.quiet(5000);
    expect(brief(told.feed({ kind: 'declared-empty', at: told.now }))).toEqual(['emptied at 12']);
  });
});
