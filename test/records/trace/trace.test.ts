import { join } from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Happened } from '../../../src/facts/fact.ts';
import { type BatchLog, openLog } from '../../../src/records/batchLog.ts';
import { backward, forward, type Held, lotKey } from '../../../src/records/trace/flow.ts';
import { traceOfBatch } from '../../../src/records/trace/uses.ts';
import { verifyLog } from '../../../src/records/verify.ts';
import { aDraw, aPlan, aStep, g, placing, weighing } from '../../weighing/samplePlan.ts';
import { sampleHappened, sealed } from '../sampleFacts.ts';
import { IN_MEMORY, tempFolder } from '../tempFolder.ts';
import { histories, keyOf, live, type Name } from './histories.ts';

const folder = tempFolder(IN_MEMORY);
let files = 0;
const newFile = () => join(folder, `log-${++files}.db`);

/** Only what is in a batch or may be. */
const present = ({ fate }: Held) => fate === 'in' || fate === 'may';

describe('after any history', () => {
  test('forward and backward agree, and with a book kept by hand', async () => {
    await fc.assert(
      fc.asyncProperty(histories, async (deeds) => {
        const file = newFile();
        const log = openLog(file);
        const book = await live(deeds, log);
        log.traced((look) => {
          for (const lot of book.lots) {
            const found = new Map(forward(look, lot).batches.map((held) => [held.batch.batch, held]));
            for (const [id, content] of book.batches) {
              const ahead = found.get(id);
              const back = backward(look, id).find((each) => lotKey(each) === lotKey(lot));
              const of = `${keyOf(lot)} in ${id}`;
              expect(ahead === undefined, of).toBe(back === undefined);
              if (ahead && back) {
                const { batch: _, ...rest } = ahead;
                const { ingredient: __, lot: ___, name: ____, ...same } = back;
                expect(rest, of).toEqual(same);
              }
              const due = content.get(keyOf(lot));
              const isThere = ahead !== undefined && present(ahead);
              expect(isThere, of).toBe(due !== undefined);
              if (!ahead || !due) continue;
              expect(ahead.fate, of).toBe(due.sure ? 'in' : 'may');
              // Each draw of a stock is rounded to the microgram.
              expect(Math.abs(ahead.inside - due.amount), of).toBeLessThanOrEqual(4 + due.amount * 1e-9);
            }
          }
        });
        log.close();
        expect(verifyLog(file)).toMatchObject({ ok: true, damages: [] });
      }),
      { numRuns: 25 },
    );
  });

  test('what was drawn adds up to what the stock book says was used, lot by lot', async () => {
    await fc.assert(
      fc.asyncProperty(histories, async (deeds) => {
        const log = openLog(newFile());
        const { lots } = await live(deeds, log);
        for (const lot of lots) {
          const used = log.stock((stock) => stock.lot(lot.ingredient, lot.lot)).holding.used;
          const uses = log.traced((look) => look.usesOfLot(lot));
          // What was taken back in the log and went into the bin with its vessel is in no stock book.
          const counted = uses.filter(({ fate, doubtful }) => fate !== 'given-up' && doubtful !== 'taken back');
          const taken = counted.reduce((sum, use) => sum + use.taken, 0);
          const givenUp = uses.filter(({ fate }) => fate === 'given-up').reduce((sum, use) => sum + use.taken, 0);
          expect(used).toBeGreaterThanOrEqual(taken);
          expect(used).toBeLessThanOrEqual(taken + givenUp);
        }
        log.close();
      }),
      { numRuns: 10 },
    );
  });
});

test('the sample batch: what is in it, given up, thrown away, and under whose label', () => {
  const facts = sealed(sampleHappened());
  const told = traceOfBatch(facts)?.uses.map(({ draw, lot, fate, taken, inside }) => [draw, lot, fate, taken, inside]);
  expect(told).toEqual([
    ['A1', 'GS-118', 'in', g(55.4), g(55.4)],
    ['A2', 'SH-45B', 'in', g(78.8), g(74.5)],
    ['B1', 'RS-03', 'in', g(2.25), g(2.09)],
    ['B2', 'BD-7', 'in', g(0.75), g(0.75)],
    ['D1.1', 'SA-88', 'in', g(509.6), g(509.6)],
    ['D1.2', 'SA-91', 'in', g(343.9), g(343.9)],
    ['E1', 'PX-8', 'in', g(18.55), g(18.44)],
    ['E2', 'LV-6', 'in', g(11.42), g(11.42)],
    ['B1', 'RS-03', 'given-up', g(2.23), g(0)],
    ['B1', 'RS-03', 'thrown-away', g(2.9), g(0)],
  ]);
  expect(traceOfBatch(facts)?.batch).toMatchObject({
    status: 'finished',
    corrections: ['The lot was SA-92. (label read wrongly)'],
  });
});

test('an open batch tells what its plan still takes; once it has ended, nothing is to come', () => {
  const [started, ...rest] = sampleHappened();
  if (!started) throw new Error('the sample begins');
  const fates = (happened: readonly Happened[]) =>
    traceOfBatch(sealed([started, ...happened]))?.uses.map(({ draw, fate }) => `${draw} ${fate}`);
  expect(fates(rest.slice(0, 3))).toContain('A2 to-come');
  expect(fates([...rest.slice(0, 3), { kind: 'abandoned', reason: 'no' }])).toEqual(['A1 in']);
});

test('what stuck to an emptied vessel is not in the batch', () => {
  const A = aDraw('A1', { vessel: 'beaker', on: 'beaker' });
  const plan = aPlan([A, aStep('A2', 'combine', { vessel: 'beaker', into: 'bowl' })]);
  const weighedBack = { vessel: 'beaker', scale: 'bench', load: g(152), residue: g(2), uncertainty: g(0.1) };
  const facts = sealed([
    { kind: 'batch-started', plan },
    placing(A, g(150)),
    weighing(A, g(150), g(100)),
    { kind: 'step-done', step: 'A2', bursts: 0, weighedBack },
  ]);
  expect(traceOfBatch(facts)?.uses).toMatchObject([{ fate: 'in', taken: g(100), inside: g(98) }]);
});

const papers = { pricePerKg: null, expires: null, supplierLot: null, certificate: null, jar: null };

/** Batches that each draw some lots, and of which some become lots. */
async function chain(
  log: BatchLog,
  batches: readonly { id: string; from: readonly Name[]; net?: number; makes?: Name }[],
) {
  for (const { id, from, net = 10, makes } of batches) {
    const draws = from.map((lot, at) => aDraw(`A${at}`, lot));
    await log.append(id, 'Someone', [
      { kind: 'batch-started', plan: aPlan(draws) },
      ...draws.map((draw) => weighing(draw, g(300), g(net))),
      { kind: 'finished' },
    ]);
    if (!makes) continue;
    await log.append('stock', 'Someone', [
      { kind: 'lot-received', ...makes, amount: g(20), ...papers, madeIn: id, supplierLot: `sup ${makes.lot}` },
    ]);
  }
}

const water = { ingredient: 'water', lot: 'W-1' };
const dye = { ingredient: 'dye', lot: 'D-1' };
const stock = (number: number) => ({ ingredient: 'stock', lot: `S-${number}` });

test('a stock of a stock of a stock is followed, and each share is what the mixing makes it', async () => {
  const log = openLog(newFile());
  await chain(log, [
    { id: 'b-1', from: [dye, water], makes: stock(1) }, // half dye
    { id: 'b-2', from: [stock(1), water], makes: stock(2) }, // a quarter
    { id: 'b-3', from: [stock(2), stock(1)] }, // 10 g of a quarter, 10 g of a half
    { id: 'b-4', from: [water] },
  ]);
  log.traced((look) => {
    const found = forward(look, dye);
    expect(found.batches.map(({ batch, inside, fate }) => [batch.batch, inside, fate])).toEqual([
      ['b-1', g(10), 'in'],
      ['b-2', g(5), 'in'],
      ['b-3', g(7.5), 'in'],
    ]);
    expect(found.carriers.map(({ lot, madeIn, share }) => [lot, madeIn, share])).toEqual([
      ['S-1', 'b-1', 0.5],
      ['S-2', 'b-2', 0.25],
    ]);
    expect(backward(look, 'b-3').map(({ lot, inside, through }) => [lot, inside, through.length])).toEqual([
      ['S-2', g(10), 0],
      ['S-1', g(15), 1],
      ['W-1', g(12.5), 2],
      ['D-1', g(7.5), 2],
    ]);
  });
  log.close();
});

test('who writes that two stocks were made of each other is not followed round and round', async () => {
  const log = openLog(newFile());
  await chain(log, [
    { id: 'b-1', from: [dye, stock(2)], makes: stock(1) },
    { id: 'b-2', from: [stock(1)], makes: stock(2) },
  ]);
  log.traced((look) => {
    expect(forward(look, dye).batches.map(({ batch }) => batch.batch)).toEqual(['b-1', 'b-2']);
    expect(forward(look, stock(1)).batches.map(({ batch }) => batch.batch)).toEqual(['b-1', 'b-2']);
    expect(backward(look, 'b-1').map(({ lot }) => lot)).toEqual(['D-1', 'S-2', 'S-1']);
  });
  log.close();
});

test("lots are found by their own code and their supplier's, capitals or not", async () => {
  const log = openLog(newFile());
  await chain(log, [{ id: 'b-1', from: [dye, { ingredient: 'oil', lot: 'D-1' }], makes: stock(1) }]);
  log.traced((look) => {
    expect(look.named('d-1')).toEqual([dye, { ingredient: 'oil', lot: 'D-1' }]);
    expect(look.named('SUP s-1')).toEqual([stock(1)]);
    expect(look.named('nothing')).toEqual([]);
  });
  log.close();
});

describe('the tables', () => {
  test('of a log that has none are made in passing when it is read, and kept from the next fact on', async () => {
    const file = newFile();
    const log = openLog(file);
    await chain(log, [{ id: 'b-1', from: [dye], makes: stock(1) }]);
    log.close();
    const bare = new DatabaseSync(file);
    bare.exec('DROP TABLE trace_uses; DROP TABLE trace_batches; DROP TABLE trace_lots; DROP TABLE trace_upto');
    bare.close();
    expect(verifyLog(file)).toMatchObject({ ok: true });
    const reading = openLog(file, { readOnly: true });
    expect(reading.traced((look) => forward(look, dye).batches)).toHaveLength(1);
    reading.close();
    const again = openLog(file);
    await chain(again, [{ id: 'b-2', from: [stock(1)] }]);
    expect(again.traced((look) => forward(look, dye).batches)).toHaveLength(2);
    again.close();
    expect(verifyLog(file)).toMatchObject({ ok: true });
  });

  test.each([
    'UPDATE trace_uses SET taken = taken + 1',
    `UPDATE trace_uses SET fate = 'given-up'`,
    'DELETE FROM trace_uses',
    `UPDATE trace_batches SET status = 'open'`,
    'UPDATE trace_lots SET made_in = NULL',
  ])('that say otherwise than the facts are told by verify and mended by counting anew: %s', async (tamper) => {
    const file = newFile();
    const log = openLog(file);
    await chain(log, [{ id: 'b-1', from: [dye], makes: stock(1) }]);
    log.close();
    const bare = new DatabaseSync(file);
    bare.exec(tamper);
    bare.close();
    expect(verifyLog(file).damages[0]?.what).toMatch(/traced of .* is not what the facts come to; the facts are whole/);
    const mending = openLog(file);
    mending.countStockAnew();
    mending.close();
    expect(verifyLog(file)).toMatchObject({ ok: true });
  });

  test('are rolled back with the fact that could not be stored', async () => {
    const file = newFile();
    const log = openLog(file);
    await chain(log, [{ id: 'b-1', from: [dye] }]);
    const twice = { kind: 'batch-started', plan: aPlan() } as const;
    await expect(log.append('b-2', 'Someone', [twice, twice])).rejects.toThrow(/already a batch/);
    await chain(log, [{ id: 'b-2', from: [dye], net: 7 }]);
    expect(log.traced((look) => forward(look, dye).batches.map(({ inside }) => inside))).toEqual([g(10), g(7)]);
    log.close();
    expect(verifyLog(file)).toMatchObject({ ok: true });
  });
});
