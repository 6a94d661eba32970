/** Cues on plain lines: what a screen shows at the number, who listens has to be told. */
import { expect, test } from 'vitest';
import { openLineFront } from '../../src/cli/weigh/lineFront.ts';
import type { Cue } from '../../src/signal/cue.ts';
import type { Station } from '../../src/weighing/station.ts';
import { demo, demoFormula, drawOf, planOf } from '../plan/fixtures.ts';
import { walkTo } from '../rescue/walkTo.ts';
import { pan, startChart } from '../weighing/chartRig.ts';
import { g } from '../weighing/samplePlan.ts';

const labels = { isLabel: () => false, read: () => ({ ok: false, say: '' }) };

async function pouring(json: boolean) {
  const plan = planOf(demo, demoFormula);
  const draw = drawOf(plan, 'shea-butter');
  const { facts, state } = walkTo(plan, draw.id, null);
  const rig = await startChart(facts, plan);
  const load = (state.vessels[draw.on]?.load ?? 0) / 1e6;
  await rig.tell(pan.empties('bench'), pan.settles('bench', load), pan.settles('bench', load + 1));
  let cue: Cue | null = null;
  let net = g(1);
  const station = {
    snapshot: () => rig.snapshot,
    live: (scale: string) => ({
      ...{
        scale,
        gross: net,
        load: net,
        zeroKnown: true,
        net,
        fresh: true,
        settled: false,
        trouble: undefined,
        flow: 0,
      },
      ...{ told: { cue, landing: undefined, runsOn: undefined }, refused: 0, lastRefused: undefined },
    }),
  } as unknown as Station;
  const lines: string[] = [];
  const heard: (Cue | undefined)[] = [];
  const sound = {
    say: (said: Cue | undefined) => heard.push(said),
    trouble: undefined,
    close: () => heard.push(undefined),
  };
  const front = openLineFront(
    {
      station,
      controls: {} as never,
      labels,
      otherKey: () => {},
      leave: () => {},
      giveUp: () => {},
    },
    { json, input: undefined, print: () => {}, aside: (line) => lines.push(line), onUnanswerable: () => {}, sound },
  );
  return {
    lines,
    heard,
    says(next: Cue | null, grams: number) {
      cue = next;
      net = g(grams);
      front.live('bench');
      front.live('bench');
    },
  };
}

test('each change is one line and one sound; to pour on needs no line', async () => {
  const { lines, heard, says } = await pouring(false);
  says('pour', 20);
  expect(lines).toEqual([]);
  says('ease', 60);
  says('drips', 70);
  says('stop', 74);
  expect(lines).toEqual(['~ EASE: slower.', '~ DRIPS: drop by drop.', '~ STOP: hands off.']);
  // Too much while it still moves is the same word again.
  says(null, 90);
  expect(lines).toHaveLength(3);
  expect(heard).toEqual(['pour', 'ease', 'drips', 'stop', 'stop']);
});

test('with one JSON object per fact there are sounds, and no lines between', async () => {
  const { lines, heard, says } = await pouring(true);
  says('ease', 60);
  expect(lines).toEqual([]);
  expect(heard).toEqual(['ease']);
});
