import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { judge } from '../../src/accept/band.ts';
import { ZERO } from '../../src/mass/mass.ts';
import { mayKeep, mayLeaveOver } from '../../src/portion/answers.ts';
import { barBand, certaintyOfBar } from '../../src/portion/mayCount.ts';
import { aBar, barsBegin } from '../facts/sampleBars.ts';
import { aim, bench, createRig, g, type Rig } from './rig.ts';

function started(): Rig {
  const rig = createRig();
  rig.empty();
  return rig;
}

describe('a bar is counted by lifting it off', () => {
  it('after it has stood settled in its band, against the empty pan before and after', () => {
    const rig = started();
    rig.bar(75.2);
    const { uncertainty, coverage } = certaintyOfBar(bench, g(75.2), ZERO);
    expect(rig.facts()).toMatchObject([
      { kind: 'bar', bar: 1, net: g(75.2), zero: ZERO, verdict: 'in', how: 'lift', uncertainty, coverage },
    ]);
    rig.bar(74.6);
    expect(rig.nets()).toEqual([75.2, 74.6]);
    expect(rig.state()).toMatchObject({ stood: null, inHand: null, writing: [], pan: { state: 'empty' } });
  });

  it('not where something stayed on the pan that was weighed with it: a liner, or a piece of it', () => {
    const rig = started();
    rig.stands(3);
    rig.stands(75.2);
    rig.input({ kind: 'live', load: ZERO });
    rig.stands(3);
    rig.empty();
    expect(rig.nets()).toEqual([]);
    expect(rig.state().inHand).toMatchObject({ why: 'left some', net: g(75.2), remained: g(3) });
    expect(mayKeep(rig.state())).toBe(false);
    rig.bar(74.2);
    expect(rig.nets()).toEqual([74.2]);
    // As little as the weight is uncertain anyway says nothing.
    rig.stands(75);
    rig.input({ kind: 'live', load: ZERO });
    rig.stands(0.1);
    rig.empty();
    expect(rig.nets()).toEqual([74.2, 75]);
  });

  it('nor where the next one came on before that was seen', () => {
    const rig = started();
    rig.stands(75.2);
    rig.input({ kind: 'live', load: ZERO });
    rig.stands(60);
    rig.stands(3);
    rig.empty();
    expect(rig.nets()).toEqual([]);
    expect(rig.state().inHand).toMatchObject({ why: 'left some', remained: g(3) });
  });

  it('the ends of the band belong to it', () => {
    const rig = started();
    for (const grams of [73.5, 76.5]) rig.bar(grams);
    expect(rig.nets()).toEqual([73.5, 76.5]);
    for (const grams of [73.4, 76.6]) rig.bar(grams);
    expect(rig.nets()).toHaveLength(2);
  });

  it('trimming on the pan and lifting for a trim count nothing before it is right', () => {
    const rig = started();
    rig.stands(60);
    rig.stands(71.3);
    rig.stands(78);
    rig.bar(70.1); // lifted off for more
    expect(rig.nets()).toEqual([]);
    expect(rig.state().inHand).toMatchObject({ why: 'under', net: g(70.1) });
    rig.stands(74.9);
    expect(rig.state().inHand).toBeNull();
    rig.empty();
    expect(rig.nets()).toEqual([74.9]);
  });
});

describe('a bar is never silently in', () => {
  it.each<[string, (rig: Rig) => void, string]>([
    ['under', (rig) => rig.bar(71), 'under'],
    ['over', (rig) => rig.bar(77.2), 'over'],
    [
      'lifted too soon',
      (rig) => {
        rig.stands(75, { early: true });
        rig.empty();
      },
      'early',
    ],
    [
      'from a display that stopped in full stride',
      (rig) => {
        rig.stands(75, { doubted: true });
        rig.empty();
      },
      'doubted',
    ],
    [
      'while the zero was not known',
      (rig) => {
        rig.stands(75, { zeroKnown: false });
        rig.empty();
      },
      'doubted',
    ],
    ['near the end of its band while the zero moved', (rig) => rig.bar(73.6, g(0.4)), 'zero moved'],
  ])('%s: it is asked for again', (_name, work, why) => {
    const rig = started();
    work(rig);
    expect(rig.facts()).toEqual([]);
    expect(rig.state().inHand).toMatchObject({ why });
    rig.answer({ kind: 'short' });
    if (why !== 'under') expect(rig.facts()).toEqual([]);
  });

  it('lifted before it came to rest at all: it is asked for; crumbs swept off are not', () => {
    const rig = started();
    const place = { scale: 'bench', at: 0, zero: ZERO, shift: ZERO };
    rig.happens({ kind: 'emptied', ...place, pressed: g(4) });
    expect(rig.state().inHand).toBeNull();
    rig.happens({ kind: 'moving', scale: 'bench', at: 0 });
    rig.input({ kind: 'live', load: g(40) });
    rig.input({ kind: 'live', load: ZERO });
    rig.happens({ kind: 'emptied', ...place, pressed: g(40) });
    expect(rig.state().inHand).toMatchObject({ why: 'early' });
    expect(mayKeep(rig.state())).toBe(false);
  });

  it('out of its band it counts by a key, as what it is', () => {
    const rig = started();
    rig.bar(77.2);
    rig.answer({ kind: 'keep' });
    rig.bar(71);
    rig.answer({ kind: 'keep' });
    rig.bar(62);
    rig.answer({ kind: 'short' });
    expect(rig.facts()).toMatchObject([
      { bar: 1, verdict: 'over', how: 'key' },
      { bar: 2, verdict: 'under', how: 'key' },
      { bar: 3, verdict: 'short', how: 'key' },
    ]);
    rig.answer({ kind: 'keep' });
    expect(rig.facts()).toHaveLength(3);
  });

  it('what was not at rest or not to be believed is not kept by any key', () => {
    const rig = started();
    rig.stands(71, { early: true });
    rig.empty();
    expect(rig.state().inHand).toMatchObject({ why: 'under' });
    expect(mayKeep(rig.state())).toBe(false);
    rig.answer({ kind: 'keep' });
    expect(rig.facts()).toEqual([]);
  });

  it('a small shift of the zero widens its uncertainty; a larger one in the middle of the band too', () => {
    const rig = started();
    rig.bar(75, g(0.1));
    rig.bar(75, g(0.5));
    const [small, larger] = rig.facts();
    expect(small).toMatchObject({ kind: 'bar', uncertainty: certaintyOfBar(bench, g(75), g(0.1)).uncertainty });
    expect(larger).toMatchObject({ kind: 'bar', uncertainty: certaintyOfBar(bench, g(75), g(0.5)).uncertainty });
    expect(certaintyOfBar(bench, g(75), g(0.5)).uncertainty).toBeGreaterThan(g(0.5));
  });
});

describe('a hand that is faster than the scale', () => {
  it('the bar counts once the empty pan was seen; the next is put on again', () => {
    const rig = started();
    rig.stands(75);
    rig.happens({ kind: 'moving', scale: 'bench', at: 0 });
    rig.input({ kind: 'live', load: g(0.3) });
    rig.stands(74.4); // the next scoop is on already
    expect(rig.state().unseen).toMatchObject({ net: g(75) });
    expect(rig.nets()).toEqual([]);
    rig.empty();
    expect(rig.nets()).toEqual([75]);
    expect(rig.state().inHand).toMatchObject({ why: 'changed', net: g(74.4) });
    rig.bar(74.4);
    expect(rig.nets()).toEqual([75, 74.4]);
  });

  it.each([
    ['fell well below half', 25],
    ['was hardly seen to fall', 60],
  ])('the pan never seen empty, the load %s: neither bar is lost without a word', (_how, fellTo) => {
    const rig = started();
    rig.stands(74.7);
    rig.happens({ kind: 'moving', scale: 'bench', at: 0 });
    for (const grams of [70, fellTo, 71]) rig.input({ kind: 'live', load: g(grams) });
    rig.stands(75.2); // another bar
    rig.empty();
    const [counted] = rig.nets();
    const [other] = [74.7, 75.2].filter((net) => net !== counted);
    expect(rig.nets()).toHaveLength(1);
    expect(rig.state().inHand).toMatchObject({ why: 'changed', net: g(other ?? 0) });
    rig.bar(other ?? 0);
    expect(rig.nets()).toEqual([counted, other]);
    expect(rig.state()).toMatchObject({ inHand: null, changed: null });
  });

  it('a bar that was lifted before LIFT, and another at once: it is asked for', () => {
    const rig = started();
    rig.stands(74.7, { early: true });
    rig.input({ kind: 'live', load: ZERO });
    rig.stands(75.2);
    rig.empty();
    expect(rig.nets()).toEqual([75.2]);
    expect(rig.state().inHand).toMatchObject({ why: 'changed', net: g(74.7) });
  });

  it('a tremble, a trim that goes one way, and a hand that leans on the pan are no other bar', () => {
    const rig = started();
    rig.stands(74.7);
    for (const grams of [74.2, 73.9, 80, 75.4]) rig.input({ kind: 'live', load: g(grams) });
    rig.stands(75.4);
    rig.stands(75);
    rig.empty();
    expect(rig.nets()).toEqual([75]);
    expect(rig.state().inHand).toBeNull();
  });

  it('a bar that was too light and is back at once is still the same bar', () => {
    const rig = started();
    rig.stands(70);
    rig.input({ kind: 'live', load: ZERO });
    rig.stands(75.1);
    rig.empty();
    expect(rig.nets()).toEqual([75.1]);
  });
});

describe('a scale that falls silent', () => {
  it('takes with it what stood there; the count goes on when the empty pan was seen', () => {
    const rig = started();
    rig.bar(75);
    rig.stands(75.3);
    rig.happens({ kind: 'silent', scale: 'bench', at: 0, say: 'its cable is out' });
    expect(rig.state().pan).toEqual({ state: 'blind', trouble: false, say: 'its cable is out' });
    rig.happens({ kind: 'fresh', scale: 'bench', at: 0 });
    expect(rig.state().pan.state).toBe('unproved');
    rig.empty();
    expect(rig.nets()).toEqual([75]);
    rig.bar(75.3);
    expect(rig.nets()).toEqual([75, 75.3]);
  });
});

describe('afterwards', () => {
  it('the last bar is taken back by one key, any bar by its number; numbers are not given again', () => {
    const rig = started();
    for (const grams of [75, 75.1, 75.2]) rig.bar(grams);
    rig.answer({ kind: 'undo' });
    rig.answer({ kind: 'undo' });
    rig.answer({ kind: 'pull', bar: 1, back: false, reason: 'cracked' });
    rig.answer({ kind: 'pull', bar: 1, back: false, reason: 'cracked' });
    rig.answer({ kind: 'pull', bar: 9, back: true, reason: 'none' });
    expect(rig.facts().slice(3)).toMatchObject([
      { kind: 'bar-pulled', bar: 3, back: true },
      { kind: 'bar-pulled', bar: 2, back: true },
      { kind: 'bar-pulled', bar: 1, back: false, reason: 'cracked' },
    ]);
    rig.answer({ kind: 'undo' });
    rig.answer({ kind: 'press', why: 'jam' });
    expect(rig.facts()).toHaveLength(6);
    rig.bar(75);
    rig.answer({ kind: 'press', why: 'jam' });
    expect(rig.facts().slice(6)).toMatchObject([{ bar: 4 }, { kind: 'bar-pressed', bar: 4, why: 'jam' }]);
  });

  it('what is left over is written down once, and the end is said by the maker', () => {
    const rig = started();
    rig.bar(75);
    rig.answer({ kind: 'done' });
    rig.answer({ kind: 'left-over', what: 'offcut' });
    rig.answer({ kind: 'end' });
    rig.stands(41, { early: true });
    expect(mayLeaveOver(rig.state())).toBe(false);
    rig.stands(41.2);
    expect(mayLeaveOver(rig.state())).toBe(true);
    rig.answer({ kind: 'left-over', what: 'offcut' });
    rig.answer({ kind: 'left-over', what: 'offcut' });
    rig.empty();
    rig.answer({ kind: 'done' });
    expect(rig.facts().slice(1)).toMatchObject([
      { kind: 'left-over', what: 'offcut', net: g(41.2) },
      { kind: 'portioning-ended' },
    ]);
  });

  it('goes on with the next number after a stop', () => {
    const rig = createRig([
      barsBegin,
      aBar(1, 75),
      aBar(2, 75.2),
      { kind: 'bar-pulled', bar: 2, reason: 'x', back: true },
    ]);
    rig.empty();
    rig.bar(74.8);
    expect(rig.facts()).toMatchObject([{ bar: 3 }]);
  });
});

describe('the band', () => {
  it('is moved inward where the scale is not small against it, and refused where nothing is left', () => {
    expect(barBand(g(75), g(1.5), bench)).toEqual({ low: g(73.5), high: g(76.5) });
    const { uncertainty } = certaintyOfBar(bench, g(75), ZERO);
    const narrow = barBand(g(75), g(0.4), bench);
    expect(narrow && narrow.high - g(75)).toBe(g(0.4) - uncertainty);
    expect(barBand(g(75), g(0.2), bench)).toBeUndefined();
  });
});

it('whatever happens on the pan: only what stood still in its band is counted as in, and nothing twice', () => {
  const grams = fc
    .oneof(fc.integer({ min: 700, max: 800 }), fc.integer({ min: 0, max: 1500 }))
    .map((tenths) => tenths / 10);
  const act = fc.oneof(
    grams.map((each) => (rig: Rig) => rig.stands(each)),
    grams.map((each) => (rig: Rig) => rig.stands(each, { early: true })),
    grams.map((each) => (rig: Rig) => rig.stands(each, { doubted: true })),
    fc.integer({ min: -8, max: 8 }).map((tenths) => (rig: Rig) => rig.empty(g(tenths / 10))),
    grams.map((each) => (rig: Rig) => rig.input({ kind: 'live', load: g(each) })),
    fc
      .constantFrom('moving' as const, 'fresh' as const)
      .map((kind) => (rig: Rig) => rig.happens({ kind, scale: 'bench', at: 0 })),
    fc.constant((rig: Rig) => rig.happens({ kind: 'silent', scale: 'bench', at: 0, say: null })),
    fc
      .constantFrom(
        'keep' as const,
        'short' as const,
        'undo' as const,
        'end' as const,
        'go-on' as const,
        'done' as const,
      )
      .map((kind) => (rig: Rig) => rig.answer({ kind })),
  );
  fc.assert(
    fc.property(fc.array(act, { maxLength: 60 }), (acts) => {
      const rig = createRig();
      let stood: { net: number; sound: boolean }[] = [];
      for (const each of acts) {
        const before = rig.facts().length;
        each(rig);
        const now = rig.state().stood;
        for (const fact of rig.facts().slice(before)) {
          if (fact.kind !== 'bar') continue;
          const seen = stood.findIndex(({ net, sound }) => net === fact.net && sound);
          expect(seen, 'it had stood there for the dwell time').toBeGreaterThanOrEqual(0);
          stood.splice(0, seen + 1); // each stay counts once at most
          expect(fact.verdict === 'in').toBe(judge(fact.net, aim) === 'in');
          if (fact.how === 'lift') expect(fact.verdict).toBe('in');
        }
        if (now) stood = [...stood, { net: now.net, sound: now.dwelt && !now.doubted && now.zeroKnown }];
      }
      const numbers = rig.facts().flatMap((fact) => (fact.kind === 'bar' ? [fact.bar] : []));
      expect(numbers).toEqual(numbers.map((_, index) => index + 1));
    }),
  );
});
