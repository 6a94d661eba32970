/** Keys on plain lines: a sentence stands once however its answers change, and a key that leads nowhere says where to go. */
import { PassThrough } from 'node:stream';
import { expect, test } from 'vitest';
import { openLineFront } from '../../src/cli/weigh/lineFront.ts';
import { createControls } from '../../src/screen/fill/controls.ts';
import type { Station } from '../../src/weighing/station.ts';
import { pan, startChart } from '../weighing/chartRig.ts';
import { aDraw, aPlan } from '../weighing/samplePlan.ts';

async function atBench() {
  const rig = await startChart([{ kind: 'gathered' }], aPlan([aDraw('A1'), aDraw('A2')]));
  const station = {
    snapshot: () => rig.snapshot,
    answer: () => {},
    live: () => ({ told: { cue: null }, fresh: false }),
  } as unknown as Station;
  const clock = { now: () => 0, setTimeout: () => undefined, clearTimeout: () => {} };
  const controls = createControls({ station, clock, onLeave: () => {} });
  const lines: string[] = [];
  const input = new PassThrough();
  const labels = { isLabel: () => false, read: () => ({ ok: false, say: '' }) };
  const front = openLineFront(
    { station, controls, labels, otherKey: () => {}, leave: () => {}, giveUp: () => {} },
    { json: false, input, print: () => {}, aside: (line) => lines.push(line), onUnanswerable: () => {} },
  );
  await rig.tell(pan.empties('bench'), pan.settles('bench', 300), pan.dwells('bench', 300));
  front.changed();
  return { rig, lines, front, input };
}

test('an answer that opens later is told by itself, and one that closes is not', async () => {
  const { rig, lines, front } = await atBench();
  await rig.tell(pan.moves('bench'), pan.settles('bench', 400), pan.dwells('bench', 400));
  front.changed();
  const before = lines.length;
  expect(lines.at(-1)).toMatch(/^> ADD: .*\[z\] undo/);
  await rig.tell({ type: 'undo.over' });
  front.changed();
  expect(lines).toHaveLength(before);
});

test('q in the middle of a draw says how to leave; where a weight is no figure it is not taken for one', async () => {
  const { lines, input } = await atBench();
  input.write('q\n');
  await new Promise((resolve) => setImmediate(resolve));
  expect(lines.at(-1)).toBe('To leave: x first (stop), then q. All that was accepted is safe.');
});
