/** A display that stops dead: when it is doubted, and when an honest pour is not. */
import { describe, expect, it } from 'vitest';
import { mass } from '../../src/mass/mass.ts';
import { type HealthConfig, stepWatched, UNWATCHED, type Watched } from '../../src/signal/health.ts';
import { aConfig } from './told.ts';

const D = 100_000;
const CONFIG: HealthConfig = { ...aConfig({ d: mass(D) }), unitIsSent: true };

/** A scale that is fed figures in intervals, ten a second. */
function scaleThat({ saysRestAfter = 0 }: { readonly saysRestAfter?: number } = {}) {
  let watched: Watched = UNWATCHED;
  let now = 0;
  let shown = 0;
  let since = 0;
  let doubted = false;
  const feed = (input: Parameters<typeof stepWatched>[1]): void => {
    const stepped = stepWatched(watched, input, CONFIG);
    watched = stepped.state;
    for (const each of stepped.happenings) if (each.kind === 'dwelt') doubted = each.doubted === true;
  };
  const say = (figure: number): void => {
    now += 100;
    if (Math.abs(figure - shown) > 1) since = now;
    shown = figure;
    const stable = saysRestAfter === 0 ? undefined : now - since >= saysRestAfter;
    feed({ kind: 'reading', reading: { mass: mass(figure * D), unit: 'g', stable, at: now, raw: '' } });
  };
  const scale = {
    /** Says these, then the last one until it has rested for long, with a digit that trembles. */
    says(...figures: readonly number[]) {
      for (const each of figures) say(each);
      const last = figures.at(-1) ?? 0;
      for (let more = 0; more < 60; more++) say(last + (more % 9 === 4 ? 1 : 0));
      return scale;
    },
    /** As `says`, but not a digit trembles. */
    freezes(...figures: readonly number[]) {
      for (const each of figures) say(each);
      for (let more = 0; more < 60; more++) say(shown);
      return scale;
    },
    /** Nothing comes for three seconds. */
    gap() {
      for (let ticks = 0; ticks < 30; ticks++) {
        now += 100;
        feed({ kind: 'tick', at: now });
      }
      return scale;
    },
    get doubted() {
      return doubted;
    },
  };
  return scale;
}

/** A vessel of 1500 intervals is put on; the scale has a tail. */
const PUT_ON = [0, 0, 800, 1150, 1330, 1420, 1460, 1482, 1492, 1497, 1499, 1500];
const LIFTED = [700, 350, 170, 80, 40, 18, 8, 3, 1, 0];
/** 40 intervals with each reading, from 1500 on, and it stops dead. */
const IN_STRIDE = [1500, 1510, 1535, 1570, 1610, 1650, 1690, 1730, 1770, 1810];
const WITH_TAIL = [...IN_STRIDE, 1830, 1840, 1845, 1848, 1849];

describe('a pour that stops dead', () => {
  it('is doubted of a scale that has shown a tail, and one that ends in a tail is not', () => {
    expect(
      scaleThat()
        .says(0)
        .says(...PUT_ON)
        .freezes(...IN_STRIDE).doubted,
    ).toBe(true);
    expect(
      scaleThat()
        .says(0)
        .says(...PUT_ON)
        .says(...WITH_TAIL).doubted,
    ).toBe(false);
  });

  it('is doubted, too, of a scale that takes long to say that it rests', () => {
    const slow = { saysRestAfter: 4500 };
    expect(
      scaleThat(slow)
        .says(0)
        .says(...PUT_ON)
        .freezes(...IN_STRIDE).doubted,
    ).toBe(true);
    expect(
      scaleThat(slow)
        .says(0)
        .says(...PUT_ON)
        .says(...WITH_TAIL).doubted,
    ).toBe(false);
  });

  it('is doubted where a gap hid how the scale answers to its vessel', () => {
    const scale = scaleThat().says(0).gap().says(1500);
    expect(scale.doubted).toBe(false);
    expect(scale.freezes(...IN_STRIDE).doubted).toBe(true);
  });

  it('is asked about once after such a gap: put back, a scale shows that it has no tail', () => {
    const scale = scaleThat()
      .says(0)
      .gap()
      .says(1500)
      .freezes(...IN_STRIDE);
    expect(scale.doubted).toBe(true);
    scale.says(900, 0).says(900, 1810);
    expect(scale.doubted).toBe(false);
    expect(scale.says(1850, 1890, 1930, 1970, 2010).doubted).toBe(false);
  });

  it('is not doubted of a quick scale because a hand set its vessel down slowly', () => {
    // The readings follow the hand, with no tail of the scale's own.
    const byHand = [0, 0, 300, 640, 970, 1300, 1496, 1500];
    const scale = scaleThat()
      .says(0)
      .says(...byHand);
    expect(scale.says(...IN_STRIDE).doubted).toBe(false);
    scale.says(...LIFTED);
    expect(scale.says(...byHand).says(1500, 1536).doubted).toBe(false);
  });
});
