/** A batch planned by its mass, which says nothing of bars; and the label that bars were made for. */
import { cpSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, onTestFinished, test } from 'vitest';
import { loadWorkshop } from '../../src/cli/folder.ts';
import { setUpPortion } from '../../src/cli/portion/portionSetup.ts';
import { declaredOf } from '../../src/cli/records/barsSaid.ts';
import { recordOf } from '../../src/cli/records/recordPage.ts';
import type { Happened } from '../../src/facts/fact.ts';
import { openLog } from '../../src/records/batchLog.ts';
import { aBar, barsBegin } from '../facts/sampleBars.ts';
import { g } from '../portion/rig.ts';
import { tempFolder } from '../records/tempFolder.ts';
import { aDraw, aPlan, weighing } from '../weighing/samplePlan.ts';

const ID = '2026-11-25-1';
const A1 = aDraw('A1', { target: g(1000), low: g(990), high: g(1010) });
const byMass: Happened[] = [
  {
    kind: 'batch-started',
    plan: aPlan([A1], { formula: { id: 'cornflower-oat-bar', name: 'Bar', version: '1' } }),
  },
  weighing(A1, g(300), g(1000)),
];

async function set(happened: readonly Happened[], options: { setPoint?: string } = {}) {
  const folder = tempFolder();
  cpSync(fileURLToPath(new URL('../../fixtures/demo', import.meta.url)), folder, { recursive: true });
  const log = openLog(join(folder, 'batches.db'));
  onTestFinished(() => log.close());
  await log.append(ID, 'Ann', happened);
  return setUpPortion(log, recordOf(log, ID), loadWorkshop(folder), { in: folder, ...options });
}

test('left before the first bar, or after few: what the set-point must be goes by the bars that the mix gives', async () => {
  const begin = { ...barsBegin, mix: g(1000) } as Happened;
  const first = await set(byMass, { setPoint: '75g' });
  const noneYet = await set([...byMass, begin]);
  const oneYet = await set([...byMass, begin, aBar(1, 75)]);
  expect(noneYet.advice[0]).toBe(first.advice[0]);
  expect(oneYet.advice[0]).toBe(first.advice[0]);
  expect(first.advice[1]).toMatch(/ in 13 bars/); // 1000 g in bars of 75 g
});

test('bars that were weighed off by one label are judged by it, whatever the formula says by now', () => {
  const net = (number: string, unit: 'g' | 'oz') => ({ net: { number, unit } });
  const bars = { ...(barsBegin as object), label: g(70) } as never;
  expect(declaredOf(undefined, net('60', 'g'), bars)).toEqual({ label: g(70), unit: 'g' });
  expect(declaredOf('2.5 oz', net('60', 'g'), bars)?.unit).toBe('oz');
  const ounces = { ...(barsBegin as object), label: declaredOf('2.5 oz', undefined, null)?.label } as never;
  expect(declaredOf(undefined, net('2.5', 'oz'), ounces)?.unit).toBe('oz');
  expect(declaredOf(undefined, net('60', 'g'), null)).toEqual({ label: g(60), unit: 'g' });
});
