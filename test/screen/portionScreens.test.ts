/** Portioning as the maker sees it: told by hand to the real reducer, drawn by the real screen. */
import { describe, expect, it } from 'vitest';
import type { BarHappened } from '../../src/facts/barFacts.ts';
import { type Mass, plus, ZERO } from '../../src/mass/mass.ts';
import { portionLiveOf } from '../../src/screen/fill/portionLive.ts';
import { type PortionPage, portionViewOf } from '../../src/screen/fill/portionView.ts';
import { aBar, barsBegin } from '../facts/sampleBars.ts';
import { createRig, g, type Rig } from '../portion/rig.ts';
import { openSeen } from './seenTerminal.ts';

interface Scene {
  readonly earlier?: readonly BarHappened[];
  readonly work: (rig: Rig) => void;
  readonly load?: number;
  readonly moving?: boolean;
  readonly fresh?: boolean;
  readonly page?: PortionPage;
  readonly saved?: boolean;
  readonly failure?: string;
  readonly notes?: readonly string[];
  /** The word that stands large, in place of any number. */
  readonly word?: string;
}

const begun: BarHappened[] = [{ ...barsBegin, mix: g(1846.2) } as BarHappened];
const twelve = [
  ...begun,
  ...[75.1, 74.6, 75.3, 75.2, 74.9, 75.6, 75.4, 75.5, 75.3, 75.6, 75.4, 75.5].map((net, index) => aBar(index + 1, net)),
];
const all = [...begun, ...Array.from({ length: 23 }, (_, index) => aBar(index + 1, 77.2, 'over'))];
const empty = (rig: Rig) => rig.empty();
const then =
  (...acts: ((rig: Rig) => void)[]) =>
  (rig: Rig) => {
    rig.empty();
    for (const act of acts) act(rig);
  };
const advice = ['Label 70 g: 73.7 g would do. 75 g gives away 1.70 g a bar, 40.84 g in 24 bars, 0.54 EUR.'];

const SCENES: Readonly<Record<string, Scene>> = {
  'the first bar': { work: empty, notes: advice },
  under: { earlier: twelve, work: then((rig) => rig.stands(58.3)), load: 58.3, moving: true },
  over: { earlier: twelve, work: then((rig) => rig.stands(78.4)), load: 78.4 },
  'in band, not yet': { earlier: twelve, work: then((rig) => rig.stands(75.1, { early: true })), load: 75.1 },
  lift: { earlier: twelve, work: then((rig) => rig.stands(75.1)), load: 75.1, word: 'LIFT' },
  'just lifted': {
    earlier: twelve,
    work: then(
      (rig) => rig.stands(75.1),
      (rig) => rig.happens({ kind: 'moving', scale: 'bench', at: 0 }),
      (rig) => rig.input({ kind: 'live', load: ZERO }),
    ),
    load: 0.2,
    moving: true,
    word: 'WAIT',
  },
  counted: { earlier: twelve, work: then((rig) => rig.bar(74.9)), saved: true },
  'next, the aim wanders': { earlier: twelve, work: empty },
  'lifted under': { earlier: twelve, work: then((rig) => rig.bar(71.2)) },
  'lifted over': { earlier: twelve, work: then((rig) => rig.bar(77.2)) },
  'lifted too soon': {
    earlier: twelve,
    work: then((rig) => {
      rig.stands(75, { early: true });
      rig.empty();
    }),
  },
  'the zero moved': { earlier: twelve, work: then((rig) => rig.bar(73.6, g(0.4))) },
  'too fast a hand': {
    earlier: twelve,
    work: then((rig) => {
      rig.stands(75);
      rig.input({ kind: 'live', load: ZERO });
      rig.stands(60);
    }),
    load: 60,
    word: 'TAKE OFF',
  },
  'a number not to be believed': {
    earlier: twelve,
    work: then((rig) => rig.stands(75.1, { doubted: true })),
    load: 75.1,
    word: 'AGAIN',
  },
  'put back': {
    earlier: twelve,
    work: then(
      (rig) => rig.stands(75),
      (rig) => rig.input({ kind: 'live', load: ZERO }),
      (rig) => rig.stands(75.3),
      (rig) => rig.empty(),
    ),
    word: 'PUT BACK',
  },
  'a liner, maybe': { earlier: twelve, work: then((rig) => rig.stands(3.2)), load: 3.2 },
  'something stayed on the pan': {
    earlier: twelve,
    work: then(
      (rig) => rig.stands(75.2),
      (rig) => rig.input({ kind: 'live', load: ZERO }),
      (rig) => rig.stands(3.2),
      (rig) => rig.empty(),
    ),
    word: 'AGAIN',
  },
  'no scale': {
    earlier: twelve,
    work: then((rig) => rig.happens({ kind: 'silent', scale: 'bench', at: 0, say: null })),
    fresh: false,
  },
  'the empty pan first': {
    earlier: twelve,
    work: then((rig) => rig.happens({ kind: 'fresh', scale: 'bench', at: 0 })),
  },
  'which bar': { earlier: twelve, work: empty, page: 'which' },
  'where does it go': { earlier: twelve, work: empty, page: { pull: 7 } },
  'no whole bar left': { earlier: all, work: empty },
  'what is left': { earlier: all, work: then((rig) => rig.answer({ kind: 'end' })) },
  'offcut or crumbs': {
    earlier: all,
    work: then(
      (rig) => rig.answer({ kind: 'end' }),
      (rig) => rig.stands(41.2),
    ),
    load: 41.2,
  },
  'really all': { earlier: twelve, work: then((rig) => rig.answer({ kind: 'end' })), page: 'really' },
  'not written': {
    earlier: twelve,
    work: empty,
    failure: 'Not recorded: the disk is full. All facts recorded before are safe. Make room on it, then go on.',
  },
};

describe.each([
  [80, 24],
  [120, 40],
])('at %i x %i', (columns, rows) => {
  it.each(Object.keys(SCENES))('%s', async (name) => {
    const scene = SCENES[name];
    if (!scene) throw new Error(`no scene ${name}`);
    const rig = createRig(scene.earlier ?? begun);
    scene.work(rig);
    const load: Mass = g(scene.load ?? 0);
    const view = portionViewOf(rig.state(), {
      title: 'Cornflower & oat cleansing bar 3, batch 2026-11-25-1',
      by: 'Mara',
      page: scene.page ?? 'work',
      saved: scene.saved ?? false,
      failure: scene.failure ?? null,
      notes: scene.notes ?? [],
      load,
      settled: !scene.moving,
    });
    const numbers = { gross: plus(load, g(0.1)), load, settled: !scene.moving, trouble: false, refused: 0 };
    const seen = openSeen(view, { columns, rows });
    seen.screen.live.set(portionLiveOf(rig.state(), { ...numbers, fresh: scene.fresh ?? true }));
    const text = await seen.look();
    await seen.screen.close();
    // What the hand has to do with a whole bar is read from afar: as large as the room allows, not one line of a tag.
    if (scene.word !== undefined) {
      expect(view.headline).toBe(scene.word);
      expect(portionLiveOf(rig.state(), { ...numbers, fresh: true }).remaining).toBeUndefined();
      expect(text.split('\n').filter((line) => line.includes('█')).length).toBeGreaterThanOrEqual(7);
    }
    const words = [view.headline, ...view.say.split(' '), ...view.choices.map(({ key, label }) => `${key}  ${label}`)];
    for (const each of words) expect(text).toContain(each);
    expect(text.split('\n').at(-1), 'the last row stays free').toBe('');
    await expect(`${text.trimEnd()}\n`).toMatchFileSnapshot(
      `screens/portion/${name.replaceAll(/[ ,]+/g, '-')}.${columns}x${rows}.txt`,
    );
  });
});
