import { describe, expect, test } from 'vitest';
import { SHIPPED, shippedProfile } from '../wire/profiles.ts';
import { BENCH, createRig, grams } from './rig.ts';

describe('a link to a simulated scale over a cable in memory', () => {
  test.each(SHIPPED)('%s: the weight on the pan arrives, through port, splitter and decoder', async (id) => {
    const rig = createRig(shippedProfile(id));
    await rig.scale.start();
    await rig.clock.advance(2000);
    rig.pan.bare = grams(296.4);
    await rig.clock.advance(5000);
    const last = rig.lastReading();
    expect(last?.unit).toBe('g');
    expect(Math.abs((last?.mass ?? 0) - grams(296.4))).toBeLessThanOrEqual(grams(0.1));
    expect(last?.stable).toBe(id === 'number-and-unit' ? undefined : true);
    expect(rig.states()).toEqual(['opening', 'open']);
    expect(rig.lines().filter((line) => line.kind === 'refused')).toEqual([]);
    await rig.link.stop();
    await rig.scale.stop();
    expect(rig.clock.waiting).toBe(0);
    expect(rig.states().at(-1)).toBe('closed');
  });

  test.each(SHIPPED)('%s: too much on the pan is a condition, not a weight', async (id) => {
    const rig = createRig(shippedProfile(id));
    await rig.scale.start();
    await rig.clock.advance(1000);
    rig.pan.bare = grams(6000);
    await rig.clock.advance(5000);
    expect(rig.events.at(-1)).toMatchObject({ kind: 'condition', condition: 'over-range' });
  });

  test('a wrong unit comes through as it was sent, exactly', async () => {
    const rig = createRig(shippedProfile('number-and-unit'), { ...BENCH, units: ['g', 'oz'] });
    await rig.scale.start();
    rig.pan.bare = grams(28.349523125); // one ounce, NIST Handbook 44 appendix C
    await rig.clock.advance(4000);
    rig.instrument.pressUnit();
    await rig.clock.advance(2000);
    expect(rig.lastReading()).toMatchObject({
      unit: 'oz',
      mass: 28_349_523,
      raw: expect.stringMatching(/^1\.000 oz$/),
    });
  });

  test('a cable pulled out and plugged in: lost, tried again, open, weighing', async () => {
    const rig = createRig(shippedProfile('status-first'));
    await rig.scale.start();
    await rig.clock.advance(1000);
    rig.cable.unplug();
    await rig.clock.advance(3000);
    expect(rig.states()).toEqual(['opening', 'open', 'lost', 'failed']);
    rig.cable.plug();
    await rig.scale.start();
    const before = rig.lines().length;
    await rig.clock.advance(6000);
    expect(rig.states().at(-1)).toBe('open');
    expect(rig.lines().length).toBeGreaterThan(before);
  });

  test('a scale that goes silent is lost after five seconds, and open again with its first line', async () => {
    const rig = createRig(shippedProfile('ask-and-answer'));
    await rig.scale.start();
    await rig.clock.advance(1000);
    rig.scale.silent(true);
    await rig.clock.advance(8000);
    expect(rig.states()).toEqual(['opening', 'open', 'lost']);
    rig.scale.silent(false);
    await rig.clock.advance(1000);
    expect(rig.states()).toEqual(['opening', 'open', 'lost', 'open']);
  });

  test('a line cut in the middle spoils itself and its neighbour, never a weight', async () => {
    const rig = createRig(shippedProfile('status-first'), { ...BENCH, noise: grams(0) });
    await rig.scale.start();
    await rig.clock.advance(1000);
    rig.scale.cutNextLine();
    await rig.clock.advance(1000);
    expect(rig.lines().filter((line) => line.kind === 'refused')).toHaveLength(1);
    for (const line of rig.lines()) if (line.kind === 'reading') expect(line.reading.mass).toBe(0);
  });

  test('noise between lines is refused', async () => {
    const rig = createRig(shippedProfile('status-first'));
    await rig.scale.start();
    await rig.clock.advance(1000);
    rig.scale.sendRaw('\u0000\u00ff\u001b[2J');
    await rig.clock.advance(1000);
    expect(rig.lines().filter((line) => line.kind === 'refused')).toHaveLength(1);
  });
});
