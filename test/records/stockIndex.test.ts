import { join } from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { mass, minus } from '../../src/mass/mass.ts';
import { openLog } from '../../src/records/batchLog.ts';
import { keepStock } from '../../src/records/stockKeeper.ts';
import { verifyLog } from '../../src/records/verify.ts';
import { countStock } from '../../src/stock/lotStock.ts';
import { bookOf } from '../../src/stock/stocked.ts';
import { workshopFrom } from '../plan/fixtures.ts';
import { deeds, inJar, jarOf, live, OPENING, plan } from '../stock/histories.ts';
import { g, weighing } from '../weighing/samplePlan.ts';
import { tempFolder } from './tempFolder.ts';

const shop = workshopFrom(`
name: Small
operators: [Someone]
scales: {bench: {capacity: 5 kg, d: 0.1 g, keyed: yes}}
vessels: {bowl: {name: Bowl, tare: 300 g, usable: 1 l}}
ingredients:
  flour: {name: Flour, inci: Flour, lots: {F-1: {on hand: 300 g}, F-2: {on hand: 400 g}}}
  dye: {name: Dye, inci: Dye, lots: {D-1: {on hand: 20 g}}}
  oil: {name: Oil, inci: Oil, lots: {O-1: {on hand: 50 g}}}
`);

let files = 0;
const folder = tempFolder();
const newFile = () => join(folder, `log-${++files}.db`);

function leftIn(log: ReturnType<typeof openLog>, jar: string) {
  const [ingredient = '', lot = ''] = jar.split('|');
  const inFile = shop.ingredients.get(ingredient)?.lots.find(({ id }) => id === lot);
  return bookOf(
    log.stock((stock) => stock.lot(ingredient, lot)),
    inFile,
  );
}

test('after any history the kept stock is what all facts come to, and what a book kept by hand says', async () => {
  await fc.assert(
    fc.asyncProperty(deeds, async (all) => {
      const file = newFile();
      const log = openLog(file);
      // Without the keeper: here a lot may go below zero, so that the plain sums are compared.
      const write = async (batch: string, happened: Parameters<typeof log.append>[2]) =>
        (await log.append(batch, 'Someone', happened))[0]?.seq ?? 0;
      const book = await live(all, { write, left: (jar) => leftIn(log, jar) });
      for (const [jar, opening] of Object.entries(OPENING))
        expect(leftIn(log, jar), jar).toBe(inJar(book, jar, opening));
      for (const jar of book.lines.keys())
        if (!(jar in OPENING)) expect(leftIn(log, jar), jar).toBe(inJar(book, jar, 0));

      const batches = new Map<string, ReturnType<typeof log.facts>>();
      for (const fact of log.facts()) batches.set(fact.batch, [...(batches.get(fact.batch) ?? []), fact]);
      const byKey = (a: { ingredient: string; lot: string }, b: { ingredient: string; lot: string }) =>
        jarOf(a.ingredient, a.lot) < jarOf(b.ingredient, b.lot) ? -1 : 1;
      const counted = [...countStock(batches).lots.values()].sort(byKey);
      expect(log.stock((stock) => stock.all()).sort(byKey)).toEqual(counted);
      log.close();
      expect(verifyLog(file)).toMatchObject({ ok: true });
    }),
    { numRuns: 40 },
  );
});

test('stock never goes below zero without a fact that says why', async () => {
  await fc.assert(
    fc.asyncProperty(deeds, async (all) => {
      const file = newFile();
      const log = openLog(file);
      const kept = keepStock(log, shop);
      const write = async (batch: string, happened: Parameters<typeof log.append>[2]) => {
        const facts = await kept.append(batch, 'Someone', happened);
        for (const jar of [...Object.keys(OPENING), jarOf('flour', 'R-1')])
          expect(leftIn(log, jar), jar).toBeGreaterThanOrEqual(0);
        // What was said to be short is exactly what the book lacked.
        facts.forEach((fact, at) => {
          const before = facts[at - 1];
          if (fact.kind !== 'lot-short' || before?.kind !== 'weighed') return;
          const gone = before.net + (before.way === 'subtract' ? 0 : before.takenBack);
          expect(fact.short).toBe(gone - fact.book);
        });
        return facts[0]?.seq ?? 0;
      };
      await live(all, { write, left: (jar) => leftIn(log, jar) });
      log.close();
      expect(verifyLog(file)).toMatchObject({ ok: true });
    }),
    { numRuns: 40 },
  );
});

const A = plan.tasks[0];
if (A?.kind !== 'draw') throw new Error('the plan begins with a draw');

test('what a lot gave beyond its book is told beside the weight, and is gone with it when that is taken back', async () => {
  const log = openLog(newFile());
  const kept = keepStock(log, shop);
  await kept.append('b-1', 'Someone', [{ kind: 'batch-started', plan }]);
  const [weight, short] = await kept.append('b-1', 'Someone', [weighing(A, g(300), g(310))]);
  expect(short).toMatchObject({ kind: 'lot-short', lot: 'F-1', book: g(300), short: g(10) });
  expect(leftIn(log, 'flour|F-1')).toBe(0);
  await kept.append('b-1', 'Someone', [
    { kind: 'undone', corrects: weight?.seq ?? 0, of: 'weighed', id: 'A1', how: 'key' },
  ]);
  expect(leftIn(log, 'flour|F-1')).toBe(g(300));
  log.close();
});

test('a log that an older bismar wrote is counted when it is only read, and kept counted from the next fact on', async () => {
  const file = newFile();
  const log = openLog(file);
  await log.append('b-1', 'Someone', [{ kind: 'batch-started', plan }, weighing(A, g(300), g(100))]);
  log.close();
  const bare = new DatabaseSync(file);
  bare.exec('DROP TABLE stock_moves; DROP TABLE stock_lots; DROP TABLE stock_upto');
  bare.close();
  expect(verifyLog(file)).toMatchObject({ ok: true });
  const reading = openLog(file, { readOnly: true });
  expect(leftIn(reading, 'flour|F-1')).toBe(g(200));
  reading.close();
  const again = openLog(file);
  await again.append('b-1', 'Someone', [weighing(A, g(300), g(50))]);
  expect(leftIn(again, 'flour|F-1')).toBe(g(150));
  expect(again.stock((stock) => stock.all())).toHaveLength(1);
  // As if the batch had not been: for what it began with.
  expect(again.stock((stock) => stock.without('b-1', 'flour', 'F-1')).holding.balance).toBe(0);
  again.close();
  expect(verifyLog(file)).toMatchObject({ ok: true });
});

test('verify tells of kept stock that the facts do not come to, and counting anew mends it', async () => {
  const file = newFile();
  const log = openLog(file);
  await log.append('b-1', 'Someone', [{ kind: 'batch-started', plan }, weighing(A, g(300), g(100))]);
  log.close();
  for (const tamper of [
    'UPDATE stock_lots SET balance = balance + 1',
    'DELETE FROM stock_moves',
    'DELETE FROM stock_lots',
    `UPDATE stock_lots SET blocked = 'so'`,
  ]) {
    const bare = new DatabaseSync(file);
    bare.exec(tamper);
    bare.close();
    const found = verifyLog(file);
    expect(found.ok, tamper).toBe(false);
    expect(found.damages[0]?.what).toMatch(/stock.* the facts are whole/);
    const mending = openLog(file);
    mending.countStockAnew();
    expect(mending.stock((stock) => stock.lot('flour', 'F-1')).holding.balance).toBe(minus(mass(0), g(100)));
    mending.close();
    expect(verifyLog(file)).toMatchObject({ ok: true });
  }
});
