/** A scale that says that its supply is low: from the line to the words, with a weight that still holds. */
import { expect, it, test } from 'vitest';
import { noticesFor, supplyNotices } from '../../src/screen/fill/notices.ts';
import { stepWatched, UNWATCHED } from '../../src/signal/health.ts';
import { panEvent } from '../../src/weighing/events.ts';
import { decode } from '../../src/wire/decode.ts';
import { readProfile } from '../../src/wire/readProfile.ts';
import { speak } from '../../src/wire/speak.ts';
import { pan, startChart } from '../weighing/chartRig.ts';
import { aDraw, aPlan } from '../weighing/samplePlan.ts';
import { shippedProfile } from '../wire/profiles.ts';
import { aConfig, g } from './told.ts';

const profile = shippedProfile('status-first');

test('the line is a weight, and says nothing of rest', () => {
  expect(decode(profile, 'weak,+    296.4 g', 5)).toMatchObject({
    kind: 'reading',
    reading: { mass: g(296.4), unit: 'g', stable: undefined, lowSupply: true, at: 5 },
  });
  const said = decode(profile, 'calm,+    296.4 g', 5);
  expect(said.kind === 'reading' && said.reading.lowSupply).toBeFalsy();
});

test('a simulated scale says it where its profile has a word for it', () => {
  const display = { number: { digits: 2964n, scale: 1 }, unit: 'g', stable: true, condition: undefined } as const;
  expect(speak(profile, { ...display, lowSupply: true })).toBe('weak,+    296.4 g');
  expect(speak(shippedProfile('three-weights'), { ...display, lowSupply: true })).toBe(
    speak(shippedProfile('three-weights'), display),
  );
});

test('a profile whose example means low supply and is none is refused', () => {
  const file = [
    'describes: a word and a number',
    'serial: { baud: 9600 }',
    'ending: crlf',
    'rhythm: continuous',
    'lines per second: 5',
    "pattern: '(?<status>[a-z]) (?<number>[0-9]+\\.[0-9])'",
    'status: { s: stable, w: low-supply }',
    'no unit: { unit: g }',
    'examples:',
  ];
  const withExample = (line: string) => readProfile('x', 'x.yaml', [...file, `  - ${line}`, ''].join('\n'));
  expect(withExample("{ line: 'w 1.5', means: 1.5 g low-supply }").ok).toBe(true);
  expect(withExample("{ line: 's 1.5', means: 1.5 g low-supply }").ok).toBe(false);
  expect(withExample("{ line: 'w 1.5', means: 1.5 g }").ok).toBe(false);
});

it('is told once, and comes to rest by its numbers as ever', () => {
  let state = UNWATCHED;
  const told: string[] = [];
  for (let at = 0; at < 6000; at += 100) {
    const reading = { mass: g(300), unit: 'g', stable: undefined, lowSupply: at > 1000, at, raw: '' } as const;
    const stepped = stepWatched(state, { kind: 'reading', reading }, { ...aConfig(), unitIsSent: true });
    state = stepped.state;
    told.push(...stepped.happenings.map(({ kind }) => kind));
  }
  expect(told).toEqual(['settled', 'low-supply', 'dwelt']);
});

it('is a quiet line at the next vessel, stays known when the pan is empty, and stops nothing', async () => {
  const rig = await startChart([{ kind: 'gathered' }], aPlan([aDraw('A1'), aDraw('A2')]));
  const line = 'The bench scale says that its supply is low. Its weights still hold.';
  expect(supplyNotices(rig.snapshot)).toEqual([]);
  await rig.tell(panEvent({ kind: 'low-supply', scale: 'bench', at: 0 }), pan.empties('bench'));
  expect([supplyNotices(rig.snapshot), noticesFor(rig.snapshot)]).toEqual([[line], [line]]);
  await rig.tell(pan.settles('bench', 300), pan.dwells('bench', 300));
  expect(rig.state).toBe('pouring.under');
  expect(noticesFor(rig.snapshot)).toEqual([]);
  await rig.tell(pan.moves('bench'), pan.settles('bench', 400), pan.dwells('bench', 400));
  expect(rig.written.map(({ kind }) => kind)).toContain('weighed');
});

it('is told of the scale of the present draw only', async () => {
  const rig = await startChart([{ kind: 'gathered' }], aPlan([aDraw('A1')]));
  await rig.tell(panEvent({ kind: 'low-supply', scale: 'fine', at: 0 }));
  expect(noticesFor(rig.snapshot)).toEqual([]);
  expect(supplyNotices(rig.snapshot)).toHaveLength(1);
});
