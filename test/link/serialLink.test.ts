import { describe, expect, test } from 'vitest';
import { SHIPPED, shippedProfile } from '../wire/profiles.ts';
import { createRig, grams } from './rig.ts';

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
});
