/** Each state of the weighing chart as the maker sees it: walked to in the real chart, drawn by the real screen. */
import { describe, expect, it } from 'vitest';
import { createControls } from '../../src/screen/fill/controls.ts';
import type { BenchView } from '../../src/screen/view.ts';
import type { Clock } from '../../src/signal/clock.ts';
import { weighingChart } from '../../src/weighing/chart.ts';
import { stateName } from '../weighing/chartRig.ts';
import { statesOf } from '../weighing/transitions.ts';
import { openSeen } from './seenTerminal.ts';
import { liveOf, PICTURES, type Picture, walkThere } from './stateScenes.ts';

/** Passed through without a rest; while a fact is written the screen stays as it was. */
const PASSED = ['choosing', 'deciding', 'recording'];

it('has a picture of every state', () => {
  const pictured = new Set(Object.values(PICTURES).map(({ state }) => state));
  expect([...pictured, ...PASSED].sort()).toEqual([...statesOf(weighingChart)].sort());
});

const STANDING_STILL: Clock = { now: () => 0, setTimeout: () => undefined, clearTimeout: () => {} };

async function viewOf(picture: Picture) {
  const { snapshot } = await walkThere(picture);
  // A batch that was begun just now is not one that is taken up again.
  let now = picture.takenUp ? snapshot : (await walkThere({ ...picture, log: [], events: [] })).snapshot;
  const station = {
    snapshot: () => now,
    answer: () => {},
    declareEmpty: () => {},
    keyed: () => {},
    returned: async () => {},
  };
  const controls = createControls({
    station,
    clock: STANDING_STILL,
    onLeave: () => {},
    by: 'Someone',
    others: () => ({ lines: picture.others ?? [], gone: picture.gone, stuck: picture.stuck }),
  });
  now = snapshot;
  controls.note(snapshot);
  for (const key of picture.keys ?? '') expect(controls.press(key), `key ${key}`).toBe(true);
  return { snapshot, view: controls.view(), live: liveOf(snapshot) };
}

/** All words of a view that must be read whole, wherever lines break. */
function mustBeRead({ headline, say, choices }: BenchView): readonly string[] {
  return [headline, ...say.split(' '), ...choices.map(({ key, label }) => `${key}  ${label}`)];
}

describe.each([
  [80, 24],
  [120, 40],
])('at %i x %i', (columns, rows) => {
  it.each(Object.keys(PICTURES))('%s', async (name) => {
    const picture = PICTURES[name];
    if (!picture) throw new Error(`no picture ${name}`);
    const { snapshot, view, live } = await viewOf(picture);
    expect(stateName(snapshot)).toBe(picture.state);
    const seen = openSeen(view, { columns, rows });
    seen.screen.live.set(live);
    seen.clock.move(7400);
    const text = await seen.look();
    await seen.screen.close();
    for (const words of mustBeRead(view)) expect(text).toContain(words);
    expect(text.split('\n').at(-1), 'the last row stays free').toBe('');
    // Only the title and what comes later may be cut.
    const now = text
      .split('\n')
      .slice(1)
      .filter((line) => !/^ (next|done)? /.test(line));
    expect(now.join('\n'), 'no line is cut').not.toMatch(/\.\.\./);
    await expect(`${text.trimEnd()}\n`).toMatchFileSnapshot(
      `screens/states/${name.replaceAll(/[ ,]+/g, '-')}.${columns}x${rows}.txt`,
    );
  });
});
