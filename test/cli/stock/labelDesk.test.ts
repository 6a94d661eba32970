import { join } from 'node:path';
import { expect, test } from 'vitest';
import { createLabelDesk } from '../../../src/cli/stock/labelDesk.ts';
import { createScanGate, SCANNERS_ENTER_MS } from '../../../src/cli/weigh/scanGate.ts';
import { stateOf } from '../../../src/facts/apply.ts';
import type { Fact, Happened } from '../../../src/facts/fact.ts';
import { openLog } from '../../../src/records/batchLog.ts';
import type { Station } from '../../../src/weighing/station.ts';
import { tempFolder } from '../../records/tempFolder.ts';
import { aDraw, aPlan, g, weighing } from '../../weighing/samplePlan.ts';

const shea = aDraw('A1', { ingredient: 'shea', name: 'Shea butter', lot: 'SH-45B' });
const flour = aDraw('A2', { ingredient: 'flour', name: 'Oat flour', lot: 'F-1' });
const plan = aPlan([shea, flour]);

async function bench(...happened: Happened[]) {
  const log = openLog(join(tempFolder(), 'log.db'));
  await log.append('b-1', 'Someone', [{ kind: 'batch-started', plan }, ...happened]);
  const told: Fact[] = [];
  // All that the desk looks at.
  const snapshot = () => ({ context: { batch: stateOf(log.facts('b-1')) } }) as ReturnType<Station['snapshot']>;
  const desk = createLabelDesk({
    station: { snapshot },
    log,
    by: 'Someone',
    onFacts: (facts) => told.push(...facts),
    onTrouble: (say) => expect.unreachable(say),
    today: () => '2026-11-25',
  });
  return { log, desk, told };
}

test('while everything is looked out, each right jar is noted once, and a wrong one is not', async () => {
  const { desk, log, told } = await bench();
  expect(desk.read('F-1')).toMatchObject({ ok: true });
  expect(desk.read('(10)F-1')).toMatchObject({ ok: true });
  expect(desk.read('F-7')).toMatchObject({ ok: false });
  await Promise.resolve();
  expect(told).toMatchObject([{ kind: 'lot-confirmed', draws: ['A2'], lot: 'F-1', label: 'F-1', by: 'Someone' }]);
  expect(log.facts('b-1').filter(({ kind }) => kind === 'lot-confirmed')).toHaveLength(1);
  log.close();
});

test('at a draw only its own jar is right', async () => {
  const { desk, log } = await bench({ kind: 'gathered' });
  expect(desk.read('F-1').say).toBe(
    'The wrong jar: That is Oat flour, lot F-1. Put it back. Wanted now is Shea butter, lot SH-45B.',
  );
  expect(desk.read('SH-45B').ok).toBe(true);
  log.close();
});

test('a label that was read changes nothing of the batch: what was accepted last can still be taken back', async () => {
  const { desk, log } = await bench({ kind: 'gathered' }, weighing(shea, g(300), g(100)));
  const before = stateOf(log.facts('b-1'));
  desk.read('F-1');
  const after = stateOf(log.facts('b-1'));
  expect(after).toEqual({ ...before, seq: before.seq + 1 });
  expect(after.undoable).not.toBeNull();
  log.close();
});

test('the Enter that a scanner ends with accepts nothing; a hand’s own does', () => {
  const gate = createScanGate();
  expect(gate({ key: 'enter' }, 0)).toBe('key');
  expect(gate({ paste: '10A' }, 1000)).toBe('label');
  expect(gate({ key: 'enter' }, 1000 + SCANNERS_ENTER_MS - 1)).toBe('its-end');
  expect(gate({ key: 'enter' }, 1000 + SCANNERS_ENTER_MS)).toBe('key');
  expect(gate({ paste: 'wwwewwe' }, 1900)).toBe('held');
  gate({ paste: '10A' }, 2000);
  expect(gate({ key: 'x' }, 2001)).toBe('key');
  expect(gate({ key: 'enter' }, 2002)).toBe('key');
});
