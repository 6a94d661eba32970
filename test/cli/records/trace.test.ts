import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parse } from 'csv-parse/sync';
import { expect, test } from 'vitest';
import { trace } from '../../../src/cli/records/trace.ts';
import { block, receive } from '../../../src/cli/stock/lot.ts';
import type { Happened } from '../../../src/facts/fact.ts';
import { ZERO } from '../../../src/mass/mass.ts';
import { openLog } from '../../../src/records/batchLog.ts';
import { LOG_FILE } from '../../../src/records/logFile.ts';
import { TRACE_COLUMNS } from '../../../src/records/trace/traceCsv.ts';
import { tempFolder } from '../../records/tempFolder.ts';
import { aDraw, aPlan, g, placing, weighing } from '../../weighing/samplePlan.ts';
import { printed } from '../printed.ts';

const workshopText = `
name: Small
operators: [Someone]
scales: {bench: {capacity: 5 kg, d: 0.1 g, repeatability: 0.05 g, keyed: yes}}
vessels: {bowl: {name: Bowl, tare: 300 g, usable: 4 l}}
ingredients:
  water: {name: Water, inci: Aqua, lots: {W-1: {on hand: 900 g}}}
  dye: {name: Red dye, inci: Dye, lots: {D-1: {on hand: 90 g, expires: 2027-01-31}}}
  oil: {name: Oil, inci: Oil, lots: {W-1: {on hand: 90 g}}}
  stock: {name: Red dye stock, inci: "Aqua, Dye", made of: [{of: dye, share: 10 %}, {of: water, share: 90 %}], lots: {OLD-1: {on hand: 5 g}}}
`;

const water = { ingredient: 'water', name: 'Water', lot: 'W-1' };
const dye = { ingredient: 'dye', name: 'Red dye', lot: 'D-1' };
const oil = { ingredient: 'oil', name: 'Oil', lot: 'W-1' };

/** A stock of dye, a batch with it, one that may hold it, and one that is open. */
async function shop(): Promise<string> {
  const folder = tempFolder();
  mkdirSync(join(folder, 'formulas'));
  writeFileSync(join(folder, 'workshop.yaml'), workshopText);
  const log = openLog(join(folder, LOG_FILE));
  const write = (id: string, happened: readonly Happened[]) => log.append(id, 'Someone', happened);
  const [A1, A2] = [aDraw('A1', dye), aDraw('A2', water)];
  const formula = { id: 'stock', name: 'Red dye, stock of 10 %', version: '1' };
  await write('2026-11-25-1', [
    { kind: 'batch-started', plan: aPlan([A1, A2], { formula }) },
    weighing(A1, g(300), g(10)),
    weighing(A2, g(310), g(90)),
    { kind: 'finished' },
  ]);
  log.close();
  // By the name of its batch: nothing more need be said.
  await printed(() => receive('stock', '2026-11-25-1', '100g', { in: folder }));
  const more = openLog(join(folder, LOG_FILE));
  const stock = { ingredient: 'stock', name: 'Red dye stock', lot: '2026-11-25-1' };
  const [B1, B2] = [aDraw('A1', stock), aDraw('A2', oil)];
  await more.append('2026-11-26-1', 'Someone', [
    { kind: 'batch-started', plan: aPlan([B1, B2], { bars: 12, bar: g(75) }) },
    weighing(B1, g(300), g(20)),
    weighing(B2, g(320), g(60)),
    { kind: 'finished' },
    ...bars(3),
  ]);
  await more.append('2026-11-27-1', 'Someone', [
    { kind: 'batch-started', plan: aPlan([B2, aDraw('A3', stock)]) },
    placing(B2, g(300)),
    { kind: 'held', draw: 'A2', net: g(110), over: g(8) },
  ]);
  more.close();
  return folder;
}

function bars(count: number): Happened[] {
  const started = { setPoint: g(75), low: g(73), high: g(77), label: null, mix: null, scale: 'bench' };
  const bar = { scale: 'bench', zero: ZERO, uncertainty: g(0.2), coverage: 2, verdict: 'in', how: 'lift' } as const;
  return [
    { kind: 'portioning-started', ...started },
    ...Array.from({ length: count }, (_, at): Happened => ({ kind: 'bar', bar: at + 1, net: g(75), ...bar })),
    { kind: 'bar-pulled', bar: 1, reason: 'cracked', back: false },
    { kind: 'left-over', what: 'offcut', net: g(41.2), scale: 'bench', uncertainty: g(0.2) },
    { kind: 'left-over', what: 'crumbs', net: g(3.1), scale: 'bench', uncertainty: g(0.2) },
    { kind: 'portioning-ended' },
  ];
}

/** The sentence that a command ends with. */
const ended = (command: Promise<unknown>) => command.then(String, (error: Error) => error.message);

/** Without what is of the moment or of the place. */
const shown = (said: string) =>
  said.split(/\n\n(?:If it must|Where else)/)[0]?.replaceAll(/\d{4}-\d\d-\d\d \d\d:\d\d/g, '2026-11-25 10:00');

test('a lot is traced through a stock to the batches that hold it, with bars and what else is in them', async () => {
  const folder = await shop();
  const said = await printed(() => trace('d-1', { in: folder }));
  expect(shown(said)).toMatchInlineSnapshot(`
    "Red dye, lot D-1
      good until 2027-01-31
      10.0 g drawn for batches, 80.0 g left by the book

    It is in: 2 batches, 3 bars
      2026-11-25-1  Red dye, stock of 10 %, version 1
                    10.0 g; finished 2026-11-25 10:00
      2026-11-26-1  Sample bar, version 1
                    2.0 g; 2 bars, 1 more short or taken out; left over: offcut
                    41.2 g, crumbs 3.1 g; finished 2026-11-25 10:00
                    through Red dye stock, lot 2026-11-25-1

    Open, and still to take it: 1 batch
      2026-11-27-1  Sample bar, version 1
                    not yet; open since 2026-11-25 10:00
                    through Red dye stock, lot 2026-11-25-1

    Stocks that hold it, and how much of each it is:
      Red dye stock, lot 2026-11-25-1, made in batch 2026-11-25-1: 10 % of it

    Can not be followed:
      - Red dye stock, lot OLD-1, is made of Red dye, and the log does not tell of
        which lots: look it up by hand, and trace it too.

    What else is in these 2 batches:
      Oil            W-1           in 1
      Red dye stock  2026-11-25-1  in 1
      Water          W-1           in 1"
  `);
});

test('a batch is traced back to all its lots', async () => {
  const folder = await shop();
  const said = await printed(() => trace('2026-11-26-1', { in: folder }));
  expect(shown(said)).toMatchInlineSnapshot(`
    "Batch 2026-11-26-1: Sample bar, version 1
      finished 2026-11-25 10:00; 2 bars, 1 more short or taken out; left over:
      offcut 41.2 g, crumbs 3.1 g

    In it: 4 lots
      Red dye stock  2026-11-25-1  20.0 g
          made in batch 2026-11-25-1
      Oil            W-1           60.0 g
      Red dye        D-1            2.0 g
          good until 2027-01-31
          through Red dye stock, lot 2026-11-25-1
      Water          W-1           18.0 g
          through Red dye stock, lot 2026-11-25-1"
  `);
});

test('CSV and JSON say the same, masses in grams, and a spreadsheet runs none of it', async () => {
  const folder = await shop();
  const rows = parse(await printed(() => trace('D-1', { in: folder, csv: true })), { columns: true });
  expect(Object.keys(rows[0] as object)).toEqual([...TRACE_COLUMNS]);
  expect(rows).toMatchObject([
    { batch: '2026-11-25-1', fate: 'in', in_batch_g: '10.000', stocks: '', bars: '' },
    {
      batch: '2026-11-26-1',
      fate: 'in',
      in_batch_g: '2.000',
      stocks: '2026-11-25-1',
      bars: '2',
      bars_beside: '1',
      left_over_g: '44.300',
    },
    { batch: '2026-11-27-1', fate: 'to-come', in_batch_g: '0.000', bars_planned: '' },
  ]);
  const data = JSON.parse(await printed(() => trace('D-1', { in: folder, json: true })));
  expect(data).toMatchObject({
    lot: { ingredient: 'dye', lot: 'D-1', expires: '2027-01-31', left_g: '80.000' },
    drawn_g: '10.000',
    batches: [
      { batch: '2026-11-25-1' },
      { bars: 2, in_batch_g: '2.000', left_over: [{ what: 'offcut', net_g: '41.200' }, { what: 'crumbs' }] },
      { fate: 'to-come', left_over: [] },
    ],
    stocks: [{ lot: '2026-11-25-1', made_in: '2026-11-25-1', share: 0.1 }],
    not_followed: [{ ingredient: 'stock', lot: 'OLD-1' }],
  });
  const back = JSON.parse(await printed(() => trace('2026-11-26-1', { in: folder, json: true })));
  expect(back.lots.map((lot: { lot: string; in_batch_g: string }) => [lot.lot, lot.in_batch_g])).toEqual([
    ['2026-11-25-1', '20.000'],
    ['W-1', '60.000'],
    ['D-1', '2.000'],
    ['W-1', '18.000'],
  ]);
});

test('names that a spreadsheet would run as formulas are text in the CSV', async () => {
  const folder = await shop();
  const lot = { ingredient: 'evil', name: '=HYPERLINK("x")', lot: '+1' };
  const log = openLog(join(folder, LOG_FILE));
  const formula = { id: '@f', name: '-1+1', version: ';=2' };
  await log.append('2026-11-28-1', 'Someone', [
    { kind: 'batch-started', plan: aPlan([aDraw('A1', lot)], { formula }) },
    weighing(aDraw('A1', lot), g(300), g(1)),
  ]);
  log.close();
  const [row] = parse(await printed(() => trace('+1', { in: folder, csv: true })), { columns: true }) as Record<
    string,
    string
  >[];
  expect(row).toMatchObject({ name: `'=HYPERLINK("x")`, lot: `'+1`, formula: `'@f`, version: `;'=2` });
});

test('a code that is not alone, or that nobody knows, is told with what to type', async () => {
  const folder = await shop();
  expect(await ended(trace('W-1', { in: folder }))).toMatch(
    /More than one lot is called "W-1". Say which:\n.*bismar trace W-1 --ingredient oil .*\n.*bismar trace W-1 --ingredient water/,
  );
  expect(await printed(() => trace('W-1', { in: folder, ingredient: 'water' }))).toContain('Water, lot W-1');
  expect(await ended(trace('W-1', { in: folder, ingredient: 'dye' }))).toMatch(/No lot "W-1" is of dye/);
  expect(await ended(trace('X-9', { in: folder }))).toMatch(/No lot or batch here is called "X-9"/);
  expect(await ended(trace(undefined, { in: folder }))).toMatch(/Which lot or batch/);
  // The beginning of a batch's name will do, where only one begins so.
  expect(await printed(() => trace('2026-11-26', { in: folder }))).toContain('Batch 2026-11-26-1');
  expect(await ended(trace('2026-11', { in: folder }))).toMatch(/No lot or batch here/);
  // The lot has the name of its batch: the option says that the lot is meant.
  expect(await printed(() => trace('2026-11-25-1', { in: folder }))).toContain('Made of it:');
  expect(await printed(() => trace('2026-11-25-1', { in: folder, ingredient: 'stock' }))).toContain(
    'It is in: 1 batch',
  );
});

test('more of a lot, received under a code of its own, is not hidden behind the first', async () => {
  const folder = await shop();
  // As `lot receive` says it is to be done when more of the same lot comes.
  expect(await ended(receive('dye', 'D-1', '50g', { in: folder }))).toMatch(/such as D-1-b, with --supplier-lot D-1/);
  await printed(() => receive('dye', 'D-1-b', '50g', { in: folder, supplierLot: 'D-1' }));
  expect(await ended(trace('D-1', { in: folder }))).toMatch(
    /More than one lot is called "D-1". Say which:\n.*bismar trace D-1 --ingredient dye .*\n.*bismar trace D-1-b --ingredient dye/,
  );
  expect(await printed(() => trace('D-1', { in: folder, ingredient: 'dye' }))).toContain('Red dye, lot D-1\n');
  await printed(() => receive('dye', 'D-9', '5g', { in: folder, supplierLot: 'L0042' }));
  await printed(() => receive('dye', 'D-9-b', '5g', { in: folder, supplierLot: 'L0042' }));
  expect(await ended(trace('L0042', { in: folder, ingredient: 'dye' }))).toMatch(/^More than one lot/);
  // The code of one ingredient's lot may be what the supplier of another calls his.
  await printed(() => receive('oil', 'OIL-2', '5g', { in: folder, supplierLot: 'D-1' }));
  expect(await printed(() => trace('D-1', { in: folder, ingredient: 'oil' }))).toContain('Oil, lot OIL-2\n');
  expect(await printed(() => trace('D-1-b', { in: folder, ingredient: 'dye' }))).toContain('Red dye, lot D-1-b\n');
});

test('a lot that is blocked is said to be; one that no batch drew from too', async () => {
  const folder = await shop();
  await printed(() => block('lot-blocked', 'dye', 'D-1', { in: folder, why: 'smells old' }));
  const said = await printed(() => trace('D-1', { in: folder }));
  expect(said).toContain('BLOCKED: smells old');
  expect(said).toContain('The lot is blocked already');
  expect(await printed(() => trace('OLD-1', { in: folder }))).toContain('No batch has drawn from it.');
});

test('a stock is received with the batch that it was made in, which must be there and ended', async () => {
  const folder = await shop();
  const received = (madeIn: string) => receive('stock', `S-${madeIn}`, '10g', { in: folder, madeIn });
  expect(await ended(received('2026-11-27-1'))).toMatch(/still open/);
  expect(await ended(received('2031-01-01-1'))).toMatch(/There is no batch/);
  expect(await printed(() => received('2026-11-25-1'))).toContain('made in batch 2026-11-25-1');
  expect(await printed(() => trace('D-1', { in: folder }))).toContain('lot S-2026-11-25-1, made in batch');
});

test('counted anew, it is the same', async () => {
  const folder = await shop();
  const before = await printed(() => trace('D-1', { in: folder }));
  expect(await printed(() => trace(undefined, { in: folder, rebuild: true }))).toMatch(/counted anew/);
  expect(await printed(() => trace('D-1', { in: folder }))).toBe(before);
});

test('a recall sheet is written as a page', async () => {
  const folder = await shop();
  const file = join(folder, 'recall.html');
  expect(await printed(() => trace('D-1', { in: folder, html: file }))).toBe(`${file}\n`);
  const page = readFileSync(file, 'utf8');
  expect(page).toContain('Trace and recall sheet');
  expect(page).toContain('2026-11-26-1');
  expect(page).toContain('left over: offcut 41.2 g, crumbs 3.1 g');
  expect(page).toMatch(/as known on 20\d\d-\d\d-\d\d \d\d:\d\d:\d\d \([+-]/);
  expect(page).toContain('Set aside all bars, offcuts, crumbs and mix of these batches');
});
