/** 2^53 - 1, the largest whole number that a JavaScript number holds exactly (ECMA-262, Number.MAX_SAFE_INTEGER), is 9 007 t in micrograms. */
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { type Happened, STOCK } from '../../src/facts/fact.ts';
import { readFact } from '../../src/facts/readFact.ts';
import { type Mass, mass } from '../../src/mass/mass.ts';
import { openLog } from '../../src/records/batchLog.ts';
import { verifyLog } from '../../src/records/verify.ts';
import { g, weighed } from './sampleFacts.ts';
import { IN_MEMORY, tempFolder } from './tempFolder.ts';

const MOST = mass(9_007_199_254_740_991);
const REFUSED = /^Not recorded: it would be more than 9,007 t of one lot.* All facts recorded before are safe\./;

const received = (amount: Mass): Happened => ({
  kind: 'lot-received',
  ingredient: 'oats',
  lot: 'O-1',
  amount,
  pricePerKg: null,
  expires: null,
  supplierLot: null,
  certificate: null,
  jar: null,
});

test('an amount that can not be counted exactly is refused, alone or with what the lot holds, and stock is right', async () => {
  const file = join(tempFolder(IN_MEMORY), 'batches.db');
  const log = openLog(file);
  const append = (...happened: Happened[]) => log.append(STOCK, 'Mara', happened);
  await expect(append(received((MOST + 1) as Mass))).rejects.toThrow(REFUSED);
  await expect(append(received(1e300 as Mass))).rejects.toThrow(REFUSED);
  await expect(append(received(MOST), received(g(1)))).rejects.toThrow(REFUSED);
  await append(received(MOST));
  await expect(append(received(g(1)))).rejects.toThrow(REFUSED);
  await expect(append({ ...weighed('A1', g(55)), net: MOST, takenBack: g(1) } as Happened)).rejects.toThrow(REFUSED);
  expect(log.facts()).toHaveLength(1);
  expect(log.stock((stock) => stock.lot('oats', 'O-1')).holding.balance).toBe(MOST);
  log.close();
  expect(verifyLog(file)).toMatchObject({ ok: true, notes: [] });
});

test('read back, such a fact is none, and it is said why', () => {
  const place = { batch: STOCK, seq: 1, at: '2026-11-25T10:00:23.120+01:00', by: 'Mara' };
  expect(readFact(JSON.stringify({ ...place, ...received(MOST) })).ok).toBe(true);
  expect(readFact(JSON.stringify({ ...place, ...received((MOST + 1) as Mass) }))).toEqual({
    ok: false,
    why: 'amount: more than 9 007 t can not be counted exactly',
  });
});
