import { describe, expect, it } from 'vitest';
import { mass } from '../../src/mass/mass.ts';
import { drawLane } from '../../src/screen/drawLane.ts';
import { type CueShown, cueShown, NO_CUE_SHOWN, withCue } from '../../src/screen/fill/cue.ts';
import { laneRoom } from '../../src/screen/lane.ts';
import { brightnessOf, largeNumber, smallNumbers } from '../../src/screen/shownNumbers.ts';
import type { BenchView, Mood } from '../../src/screen/view.ts';
import { drawLive } from './scenes.ts';

const G = 1_000_000;
const view = (mood: Mood): BenchView => ({
  mood,
  title: 't',
  where: 'w',
  headline: 'ADD',
  say: 'Glycerin into the beaker.',
  detail: ['Lot GL-30.', 'Thick when cold.'],
  cautions: [],
  choices: [],
  done: [],
  next: [],
});
const cue = (change: Partial<CueShown>): CueShown => ({ ...NO_CUE_SHOWN, ...change });
const band = { target: 55.6, low: 54.5, high: 56.7, d: 0.1 };

describe('cues on the screen', () => {
  it('each has its own word at the number, and the nearer the brighter', () => {
    const shown = (['pour', 'ease', 'drips', 'stop'] as const).map((each) => {
      const live = { ...drawLive(40, band), cue: each };
      return [largeNumber(live)?.caption, brightnessOf(live, 'under')];
    });
    expect(shown).toEqual([
      ['POUR still to add', 'dim'],
      ['EASE still to add', 'plain'],
      ['DRIPS still to add', 'bold'],
      [' STOP ', 'inverse'],
    ]);
  });

  it('stop takes the whole headline, and leaves the way to go on alone', () => {
    const stopped = withCue(view('pour'), cue({ cue: 'stop' }));
    expect(stopped).toMatchObject({ headline: 'STOP', mood: 'hold', detail: view('pour').detail });
    expect(withCue(view('pour'), cue({ cue: 'ease' }))).toEqual(view('pour'));
  });

  it('no cue stands by a number that is not to be trusted, or above the word for too much', () => {
    expect(largeNumber({ ...drawLive(40, band), cue: 'pour', fresh: false })?.caption).toBe('still to add');
    expect(largeNumber({ ...drawLive(57, band), cue: 'stop' })?.caption).toBe(' OVER THE BAND ');
  });

  it('without a cue, and in every other mood, nothing is changed', () => {
    expect(withCue(view('pour'), NO_CUE_SHOWN)).toEqual(view('pour'));
    for (const mood of ['in-band', 'hold', 'blind', 'place', 'trouble', 'saved'] as const)
      expect(withCue(view(mood), cue({ cue: 'pour' }))).toEqual(view(mood));
  });

  it('too much is said above every cue, but not once the pan rests', () => {
    const moving = cueShown({ ...drawLive(57, band), cue: 'stop' });
    expect(withCue(view('pour'), moving).say).toMatch(/^Too much/);
    expect(cueShown({ ...drawLive(57, band), state: 'settled' }).tooMuch).toBe(false);
    expect(cueShown({ ...drawLive(57, band), fresh: false }).tooMuch).toBe(false);
  });

  it('what is learnt stands right under the lot, and says that it is learnt', () => {
    const learnt = 'About 1.2 g runs on after a stop: learnt from 7 pours.';
    const { detail } = withCue(view('pour'), cue({ cue: 'ease', learnt }));
    expect(detail).toEqual(['Lot GL-30.', learnt, 'Thick when cold.']);
  });

  it('the landing takes the place of the flow, and of nothing when the number is not to be trusted', () => {
    const live = drawLive(50, { ...band, flow: '3.1 g/s', landing: '52.4' });
    const texts = (of: typeof live) => smallNumbers(of, 'still to add', 80).map(({ text }) => text);
    expect(texts(live)).toContain('lands 52.4');
    expect(texts({ ...live, fresh: false }).join()).not.toMatch(/lands|3\.1/);
  });

  it('the lane marks where the pour lands: ahead of the bar, in the doorway for a landing in the band', () => {
    const room = laneRoom(76);
    const lane = drawLive(50, band).lane;
    const marked = (grams: number) => lane && drawLane({ ...lane, landing: mass(grams * G) }, room, 'ascii', true);
    expect(marked(55.6)?.base.indexOf('^')).toBeGreaterThan(room.approach);
    expect(marked(55.6)?.base.indexOf('^')).toBeLessThan(room.approach + room.door + 1);
    expect(marked(60)?.base.indexOf('^')).toBeGreaterThan(room.approach + room.door);
    expect(marked(52)?.base.indexOf('^')).toBeGreaterThanOrEqual((marked(52)?.bar.length ?? 99) - 1);
    expect(lane && drawLane(lane, room, 'ascii', true).base).not.toContain('^');
    expect(lane && drawLane({ ...lane, landing: mass(55 * G) }, room, 'ascii', false).base).not.toContain('^');
  });
});
