/** What the eye sees, with the screen drawing only what has changed. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { NO_LIVE } from '../../src/screen/view.ts';
import { drawLive, GLUCOSIDE, SCENES, type Scene } from './scenes.ts';
import { openSeen } from './seenTerminal.ts';

const SIZES = [
  [80, 24],
  [120, 40],
] as const;

/** Letters that join, stack, or are wide. */
const LETTERS = fc.constantFrom(
  '\u0915',
  '\u093f',
  '\u094d',
  '\u0e01',
  '\u0e33',
  'シ',
  '가',
  'é',
  '\u{1f44d}',
  '\ufdfa',
  '\u0301',
);

const scene = (name: string): Scene => {
  const found = SCENES[name];
  if (!found) throw new Error(`no scene ${name}`);
  return found;
};

/** A screen opened anew with this scene, as painted cells. */
async function paintedAnew({ view, live }: Scene, columns: number, rows: number): Promise<string[]> {
  const seen = openSeen(view, { columns, rows });
  seen.screen.live.set(live);
  await seen.look();
  const painted = await seen.terminal.painted();
  await seen.screen.close();
  return painted;
}

describe.each(SIZES)('at %i x %i', (columns, rows) => {
  it.each(Object.keys(SCENES))('draws %s', async (name) => {
    const { view, live } = scene(name);
    const seen = openSeen(view, { columns, rows });
    seen.screen.live.set(live);
    seen.clock.move(7400);
    const text = await seen.look();
    expect(seen.terminal.terminal.buffer.active.type).toBe('alternate');
    expect(seen.terminal.terminal.buffer.active.baseY, 'scrolled').toBe(0);
    expect(text.split('\n').at(-1), 'the last row stays free').toBe('');
    await expect(`${text.trimEnd()}\n`).toMatchFileSnapshot(
      `screens/${name.replaceAll(/[ ,]+/g, '-')}.${columns}x${rows}.txt`,
    );
    await seen.screen.close();
  });
});

it('shows a screen like one opened anew, whatever came before: other moods, other weights, other sizes', async () => {
  const names = Object.keys(SCENES);
  const step = fc.oneof(
    fc.record({ kind: fc.constant('scene' as const), name: fc.constantFrom(...names) }),
    fc.record({ kind: fc.constant('weigh' as const), net: fc.integer({ min: -50, max: 4000 }) }),
    fc.record({
      kind: fc.constant('resize' as const),
      columns: fc.integer({ min: 40, max: 130 }),
      rows: fc.integer({ min: 8, max: 45 }),
    }),
    fc.record({ kind: fc.constant('look' as const) }),
  );
  await fc.assert(
    fc.asyncProperty(fc.array(step, { minLength: 3, maxLength: 14 }), async (steps) => {
      const seen = openSeen(scene('pour').view);
      let { view, live } = scene('pour');
      seen.screen.live.set(live);
      for (const each of steps) {
        seen.clock.move(20);
        if (each.kind === 'scene') {
          ({ view, live } = scene(each.name));
          seen.screen.setView(view);
          seen.screen.live.set(live);
        } else if (each.kind === 'weigh') {
          live = drawLive(each.net / 10, GLUCOSIDE);
          seen.screen.live.set(live);
        } else if (each.kind === 'resize') {
          seen.terminal.resize(each.columns, each.rows);
        } else {
          await seen.look();
        }
      }
      if (view.timer) view = { ...view, timer: { ...view.timer, startedAt: view.timer.startedAt + seen.clock.now() } };
      seen.screen.setView(view);
      seen.clock.move(50);
      await seen.look();
      const painted = await seen.terminal.painted();
      await seen.screen.close();
      if (view.timer) view = { ...view, timer: { ...view.timer, startedAt: -50 } };
      expect(painted).toEqual(await paintedAnew({ view, live }, seen.terminal.columns, seen.terminal.rows));
    }),
    { numRuns: 15 },
  );
});

it('shows foreign names like a screen opened anew, whatever names were there before', async () => {
  const { view, live } = scene('pour');
  const name = fc.string({ unit: fc.oneof(fc.string({ unit: 'binary', maxLength: 1 }), LETTERS), maxLength: 25 });
  const named = (text: string): Scene => ({
    view: {
      ...view,
      title: text,
      detail: [`${text} 51.2 g`],
      done: [{ name: text, net: '55.7 g' }],
      next: [`${text} 5 g`],
    },
    live,
  });
  await fc.assert(
    fc.asyncProperty(name, name, async (one, other) => {
      const seen = openSeen(named(one).view);
      seen.screen.live.set(live);
      await seen.look();
      seen.screen.setView(named(other).view);
      await seen.look();
      const painted = await seen.terminal.painted();
      await seen.screen.close();
      expect(painted).toEqual(await paintedAnew(named(other), 80, 24));
    }),
    { numRuns: 15 },
  );
});

it.each(SIZES)('ends with the last of 50 weights a second at %i x %i', async (columns, rows) => {
  const { view } = scene('pour');
  const seen = openSeen(view, { columns, rows });
  let last = NO_LIVE;
  for (let reading = 0; reading <= 500; reading++) {
    last = drawLive((reading * 3.34) / 10, { ...GLUCOSIDE, flow: `${(reading % 90) / 10} g/s` });
    seen.screen.live.set(last);
    seen.clock.move(20);
    if (reading % 5 === 0) await seen.look();
  }
  seen.clock.move(50);
  await seen.look();
  const painted = await seen.terminal.painted();
  await seen.screen.close();
  expect(painted).toEqual(await paintedAnew({ view, live: last }, columns, rows));
});

it('grows and shrinks with the window, one row and one column at a time and at once', async () => {
  const { view, live } = scene('hold');
  const seen = openSeen(view);
  seen.screen.live.set(live);
  const sizes: [number, number][] = [];
  for (let rows = 24; rows <= 40; rows += 2) sizes.push([80, rows]);
  for (let rows = 40; rows >= 10; rows -= 2) sizes.push([120, rows]);
  for (let columns = 120; columns >= 60; columns -= 6) sizes.push([columns, 24]);
  sizes.push([120, 40], [80, 24], [120, 24], [80, 40], [40, 12], [80, 24]);
  for (const [columns, rows] of sizes) {
    seen.terminal.resize(columns, rows);
    await seen.look();
    expect(await seen.terminal.painted(), `${columns} x ${rows}`).toEqual(
      await paintedAnew({ view, live }, columns, rows),
    );
  }
  await seen.screen.close();
});
