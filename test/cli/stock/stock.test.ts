import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { PassThrough } from 'node:stream';
import { expect, onTestFinished, test } from 'vitest';
import { loadWorkshop } from '../../../src/cli/folder.ts';
import { planFor } from '../../../src/cli/planning.ts';
import { cost } from '../../../src/cli/records/cost.ts';
import { block, next, receive } from '../../../src/cli/stock/lot.ts';
import { stock } from '../../../src/cli/stock/stock.ts';
import { stockedWithout } from '../../../src/cli/stock/stockNow.ts';
import { take } from '../../../src/cli/stock/stockTake.ts';
import { type Happened, STOCK } from '../../../src/facts/fact.ts';
import type { PlannedDraw } from '../../../src/plan/model.ts';
import { openLog } from '../../../src/records/batchLog.ts';
import { LOG_FILE } from '../../../src/records/logFile.ts';
import { keepStock } from '../../../src/records/stockKeeper.ts';
import { verifyLog } from '../../../src/records/verify.ts';
import { tempFolder } from '../../records/tempFolder.ts';
import { g, weighing } from '../../weighing/samplePlan.ts';
import { printed } from '../printed.ts';

const workshopText = `
name: Small
operators: [Someone]
currency: EUR
scales: {bench: {capacity: 5 kg, d: 0.1 g, repeatability: 0.05 g, dwell: 0.2 s, keyed: yes}}
vessels:
  bowl: {name: Bowl, tare: 300 g, usable: 4 l}
  jar: {name: Oil jar, tare: 210 g}
ingredients:
  flour: {name: Flour, inci: Flour, density: 1 g/ml, lots: {F-1: {on hand: 900 g, price per kg: 2}}}
  oil: {name: Oil, inci: Oil, density: 1 g/ml, lots: {O-1: {on hand: 500 g, price per kg: 10, jar: jar}}}
`;
const formulaText = `
name: Sample
version: 1
bar: 100 g
bars: 4
phases:
  - phase: A
    name: All
    vessel: bowl
    work:
      - {draw: flour, share: 75 %, band: 2 %}
      - {draw: oil, share: 25 %, band: 2 %}
`;

function shop(): string {
  const folder = tempFolder();
  mkdirSync(join(folder, 'formulas'));
  writeFileSync(join(folder, 'workshop.yaml'), workshopText);
  writeFileSync(join(folder, 'formulas', 'sample.yaml'), formulaText);
  return folder;
}

/** Weighs a whole batch by its plan. */
async function weighed(folder: string, over = 0): Promise<string> {
  const workshop = loadWorkshop(folder);
  const { plan } = planFor(folder, workshop, 'sample', {});
  const log = openLog(join(folder, LOG_FILE));
  const batch = log.newBatchId('2026-11-25');
  const kept = keepStock(log, workshop);
  await kept.append(batch, 'Someone', [{ kind: 'batch-started', plan }]);
  for (const draw of plan.tasks.filter((task): task is PlannedDraw => task.kind === 'draw')) {
    await kept.append(batch, 'Someone', [weighing(draw, g(300), (draw.target + over) as PlannedDraw['target'])]);
  }
  await kept.append(batch, 'Someone', [{ kind: 'finished' }]);
  log.close();
  return batch;
}

test('without what a batch took, a delivery holds what it held before, like a lot of the file', async () => {
  const folder = shop();
  await printed(() => receive('oil', 'O-2', '2kg', { in: folder }));
  await printed(() => block('lot-blocked', 'oil', 'O-1', { in: folder, why: 'smells' }));
  const batch = await weighed(folder);
  const log = openLog(join(folder, LOG_FILE), { readOnly: true });
  onTestFinished(() => log.close());
  const before = stockedWithout(log, batch, loadWorkshop(folder));
  const lots = ['flour', 'oil'].flatMap((id) => before.ingredients.get(id)?.lots ?? []);
  expect(lots.map(({ id, onHand }) => [id, onHand])).toEqual([
    ['F-1', g(900)],
    ['O-1', g(500)],
    ['O-2', g(2000)],
  ]);
});

test('a second batch plans with what the first left, and a delivery is used when the file’s lot no longer does', async () => {
  const folder = shop();
  const lotsOf = () =>
    planFor(folder, loadWorkshop(folder), 'sample', {}).plan.tasks.flatMap((task) =>
      task.kind === 'draw' ? [`${task.lot} ${task.lotOnHand / 1e6}`] : [],
    );
  expect(lotsOf()).toEqual(['F-1 900', 'O-1 500']);
  await weighed(folder);
  expect(lotsOf()).toEqual(['F-1 600', 'O-1 400']);
  await weighed(folder);
  await weighed(folder);
  expect(() => lotsOf()).toThrow(/Flour: 300.000 g are needed, and the lots in date are 300.000 g short/);
  await printed(() => receive('flour', 'F-2', '5kg', { in: folder, price: '2,40', expires: '2099-01-31' }));
  expect(lotsOf()).toEqual(['F-2 5000', 'O-1 200']);
  await printed(() => block('lot-blocked', 'flour', 'F-2', { in: folder, why: 'it has moths' }));
  expect(() => lotsOf()).toThrow(/300.000 g short\s+\(blocked: F-2\)/);
  expect(await printed(() => stock('flour', { in: folder }))).toBe(
    'Flour\n  F-2                5000.0 g  until 2099-01-31; BLOCKED: it has moths\n',
  );
  await printed(() => block('lot-released', 'flour', 'F-2', { in: folder, why: 'they were only threads' }));
  expect(lotsOf()).toEqual(['F-2 5000', 'O-1 200']);
  expect(verifyLog(join(folder, LOG_FILE))).toMatchObject({ ok: true });
});

test('a batch that is open still needs its jars: told where another is planned, and in the stock', async () => {
  const folder = shop();
  const workshop = loadWorkshop(folder);
  const { plan } = planFor(folder, workshop, 'sample', {});
  expect(plan.notes.join()).not.toMatch(/still open/);
  const log = openLog(join(folder, LOG_FILE));
  await log.append('2026-11-25-1', 'Someone', [{ kind: 'batch-started', plan }]);
  const [flour] = plan.tasks.filter((task): task is PlannedDraw => task.kind === 'draw');
  const notes = () => planFor(folder, workshop, 'sample', { mass: '1kg' }).plan.notes.join('\n');
  expect(notes()).toContain(
    'Batch 2026-11-25-1, still open, still needs 300.0 g of Flour, lot F-1: for this one as well it is 150.0 g short.',
  );
  expect(await printed(() => stock('flour', { in: folder }))).toContain('300.0 g of it still for batch 2026-11-25-1');
  if (flour) await keepStock(log, workshop).append('2026-11-25-1', 'Someone', [weighing(flour, g(300), g(300))]);
  log.close();
  expect(await printed(() => stock('flour', { in: folder }))).toBe('Flour\n  F-1                 600.0 g\n');
  expect(JSON.parse(await printed(() => stock('oil', { in: folder, json: true })))).toMatchObject([
    { lots: [{ left_g: '500.000', needed: [{ batch: '2026-11-25-1', needed_g: '100.000' }] }] },
  ]);
});

test('a figure in the workshop file that was edited after a batch used the lot is noticed, until its jar is weighed', async () => {
  const folder = shop();
  await weighed(folder);
  const edit = (from: string, to: string) =>
    writeFileSync(join(folder, 'workshop.yaml'), readFileSync(join(folder, 'workshop.yaml'), 'utf8').replace(from, to));
  const said = async () => (await printed(() => stock('flour', { in: folder }))).replace(/\s+/g, ' ');
  expect(await said()).not.toContain('!');
  edit('900 g', '600 g');
  expect(await said()).toMatch(
    /Flour, lot F-1: "on hand" in workshop\.yaml is 600\.0 g; when batch \S+ was begun \(\d{4}-\d\d-\d\d\) it was 900\.0 g\..* Put 900\.0 g back/,
  );
  const { plan } = planFor(folder, loadWorkshop(folder), 'sample', { mass: '200g' });
  expect(plan.notes.join()).toContain('counts twice');
  edit('600 g', '900 g');
  expect(await said()).not.toContain('!');
  edit('900 g', '600 g');
  await printed(() => take('flour', 'F-1', { in: folder, gross: '800g', tare: '100g' }));
  expect(await said()).not.toContain('!');
  await weighed(folder);
  expect(await said()).not.toContain('!');
});

test('stock as data: what came, what was used, what the weighing of a jar made of it', async () => {
  const folder = shop();
  await weighed(folder);
  await printed(() => take('oil', 'O-1', { in: folder, gross: '605g', why: 'it leaks' }));
  const [flour, oil] = JSON.parse(await printed(() => stock(undefined, { in: folder, json: true })));
  expect(flour.lots[0]).toMatchObject({ lot: 'F-1', left_g: '600.000', used_g: '300.000', corrected_g: '0.000' });
  expect(oil.lots[0]).toMatchObject({
    left_g: '395.000',
    first_g: '500.000',
    used_g: '100.000',
    corrected_g: '-5.000',
  });
});

test('which lot next: the one that expires first, then the next', async () => {
  const folder = shop();
  await printed(() => receive('flour', 'F-2', '1kg', { in: folder, expires: '2098-01-31' }));
  await printed(() => receive('flour', 'F-3', '1kg', { in: folder, expires: '2097-01-31' }));
  expect(await printed(() => next('flour', '1500g', { in: folder }))).toBe(
    'F-3  1000.0 g of 1000.0 g, good until 2097-01-31\nF-2  500.0 g of 1000.0 g, good until 2098-01-31\n',
  );
  await expect(next('flour', '9kg', { in: folder })).rejects.toThrow('Of Flour there are only 2900.0 g');
});

test('a delivery is entered from its label, GS1 General Specifications', async () => {
  const folder = shop();
  const label = ']d20109506000134352' + '10LOT-7A\x1d' + '17270300' + '3103000500';
  const said = await printed(() => receive('flour', undefined, undefined, { in: folder, label }));
  expect(said).toContain('flour, lot LOT-7A: 500.0 g received; good until 2027-03-31');
  await printed(() => receive('flour', 'F-9', undefined, { in: folder, label }));
  const log = openLog(join(folder, LOG_FILE), { readOnly: true });
  expect(log.facts(STOCK).at(-1)).toMatchObject({ lot: 'F-9', supplierLot: 'LOT-7A', amount: g(500) });
  log.close();
});

test.each([
  ['an unknown ingredient', ['fluor', 'X', '1kg'], {}, /Did you mean flour/],
  ['a code that leads elsewhere', ['flour', '../x', '1kg'], {}, /can not be a lot's code/],
  ['a code with a colour in it', ['flour', '\x1b[31mX', '1kg'], {}, /can not be a lot's code/],
  ['the same lot once more', ['flour', 'f-1', '1kg'], {}, /has a lot f-1 already/],
  ['no weight', ['flour', 'F-2', '5'], {}, /with its unit/],
  ['less than nothing', ['flour', 'F-2', '-5kg'], {}, /with its unit/],
  ['a price that can be read in two ways', ['flour', 'F-2', '5kg'], { price: '1,250' }, /1\.250 or 1250/],
  ['a price in words', ['flour', 'F-2', '5kg'], { price: '1e3' }, /--price/],
  ['no day', ['flour', 'F-2', '5kg'], { expires: '2027-02-30' }, /--expires/],
  ['a certificate elsewhere', ['flour', 'F-2', '5kg'], { certificate: '../../secret.pdf' }, /--certificate/],
  ['a hidden certificate', ['flour', 'F-2', '5kg'], { certificate: '.profile' }, /--certificate/],
  ['a jar that is none', ['flour', 'F-2', '5kg'], { jar: 'pot' }, /--jar/],
  ['a label that is none', ['flour', 'F-2', '5kg'], { label: '(01)1' }, /Scan it again/],
] as const)(
  'a delivery with %s is refused in a sentence, and nothing is recorded',
  async (_, [of, lot, amount], options, why) => {
    const folder = shop();
    const attempt = async () => receive(of, lot, amount, { in: folder, ...options });
    await expect(attempt()).rejects.toThrow(why);
    await expect(attempt()).rejects.toThrow(/Nothing was recorded/);
    expect(await printed(() => stock('flour', { in: folder }))).toBe('Flour\n  F-1                 900.0 g\n');
  },
);

test('a jar is weighed on a scale whose display is typed; what it lacks is a fact', async () => {
  const folder = shop();
  const input = new PassThrough();
  const said: string[] = [];
  const print = (line: string) => {
    said.push(line);
    if (/^Take everything off/.test(line)) input.write('0.0\n');
    if (/^Put the jar on/.test(line)) input.write('702.5\n');
  };
  await take('oil', 'O-1', { in: folder, scale: 'bench' }, { input, print });
  expect(said.at(-1)).toMatch(
    /oil, lot O-1: 492.5 g found \(weighed on the bench scale\), the book had 500.0 g: -7.5 g/,
  );
  const log = openLog(join(folder, LOG_FILE), { readOnly: true });
  expect(log.facts(STOCK)).toMatchObject([{ kind: 'stock-taken', scale: 'bench', gross: g(702.5), tare: g(210) }]);
  log.close();
});

test('a jar that is lighter than empty, or of unknown weight, is not taken', async () => {
  const folder = shop();
  await expect(take('oil', 'O-1', { in: folder, gross: '150g' })).rejects.toThrow(/that can't be/);
  await expect(take('flour', 'F-1', { in: folder, gross: '150g' })).rejects.toThrow(/--tare/);
  await expect(take('oil', 'O-1', { in: folder })).rejects.toThrow(/--gross .* or .*--scale/);
  await expect(take('oil', 'O-2', { in: folder, gross: '500g' })).rejects.toThrow(/Did you mean O-1/);
});

test('cost of a formula as planned, and of a batch as weighed', async () => {
  const folder = shop();
  // 300 g at 2 and 100 g at 10 a kilogram: 0.60 + 1.00, over four bars.
  expect(await printed(() => cost('sample', { in: folder }))).toMatch(/Material 1.60 EUR, 0.40 EUR a bar\n$/);
  const batch = await weighed(folder, 50_000_000);
  expect(await printed(() => cost(batch, { in: folder }))).toMatch(
    /Material 2.20 EUR, 0.55 EUR a bar of the 4 planned\n$/,
  );
  expect(JSON.parse(await printed(() => cost(undefined, { in: folder, json: true })))).toMatchObject({
    currency: 'EUR',
    material: '2.20',
    per_bar: '0.55',
    waste: '0.00',
  });
  await expect(cost('nothing-such', { in: folder })).rejects.toThrow(/no batch "nothing-such"/);
});

test('prices are those of the day when the batch was begun', async () => {
  const folder = shop();
  const batch = await weighed(folder);
  writeFileSync(join(folder, 'workshop.yaml'), workshopText.replace('price per kg: 2', 'price per kg: 200'));
  expect(await printed(() => cost(batch, { in: folder }))).toMatch(/Material 1.60 EUR/);
});

test('facts of stock are told by their own name', async () => {
  const folder = shop();
  await printed(() => receive('flour', 'F-2', '5kg', { in: folder }));
  const log = openLog(join(folder, LOG_FILE), { readOnly: true });
  const kinds: Happened['kind'][] = log.facts(STOCK).map(({ kind }) => kind);
  expect(kinds).toEqual(['lot-received']);
  expect(log.batches()).toEqual([]);
  log.close();
});
