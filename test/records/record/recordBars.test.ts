import { parse } from 'csv-parse/sync';
import { expect, test } from 'vitest';
import { flowOf } from '../../../src/charts/flow.ts';
import type { Happened } from '../../../src/facts/fact.ts';
import { openLog } from '../../../src/records/batchLog.ts';
import { batchRecord } from '../../../src/records/record/batchRecord.ts';
import { CSV_COLUMNS, recordCsv } from '../../../src/records/record/recordCsv.ts';
import { flowOfRecord } from '../../../src/records/record/recordFigureData.ts';
import { recordHtml } from '../../../src/records/record/recordHtml.tsx';
import { recordData, recordJson } from '../../../src/records/record/recordJson.ts';
import { recordText } from '../../../src/records/record/recordText.ts';
import { verifyLog } from '../../../src/records/verify.ts';
import { aBar, barsBegin, sampleBars } from '../../facts/sampleBars.ts';
import { g, sampleHappened, sealed } from '../sampleFacts.ts';
import { tempFolder } from '../tempFolder.ts';

const seal = { seq: 36, hash: 'ab'.repeat(32) };
const recordOf = (happened: readonly Happened[]) => batchRecord(sealed(happened), seal);
const before = recordOf(sampleHappened());
const record = recordOf([...sampleHappened(), ...sampleBars()]);

test('a batch without bars has none, in all that is printed of it', () => {
  expect(before.bars).toBeNull();
  expect(recordData(before).portioning).toBeNull();
  expect(recordText(before)).not.toContain('Bars:');
  expect(recordCsv(before)).not.toContain('bar short');
});

test('bars weighed off after the end change nothing of the batch itself', () => {
  const { bars: _bars, deviations, lastAt: _last, ...rest } = record;
  const { bars: _none, deviations: earlier, lastAt: _before, ...same } = before;
  expect(rest).toEqual(same);
  expect(deviations.filter((say) => !/^Bars?\b/.test(say))).toEqual(earlier);
});

test('the record says what was known when: up to its last fact, bars weighed again later too', () => {
  expect(record.lastAt > before.lastAt).toBe(true);
  const spelledOut = '2026-11-25 10:00:47 (+01:00)';
  expect(recordHtml(record)).toContain(`as known on ${spelledOut}`);
  expect(recordText(record)).toContain(`As known on ${spelledOut}.`);
  expect(recordData(record).last_at).toBe(record.lastAt);
});

test('bars short of the plan and mix that went nowhere are told, once the portioning was ended', () => {
  const two = [barsBegin, aBar(1, 75), aBar(2, 75.3)];
  const told = (happened: readonly Happened[]) =>
    recordOf([...sampleHappened(), ...happened]).deviations.filter((say) => say.startsWith('Bars:'));
  expect(told(two)).toEqual([]);
  expect(told([...two, { kind: 'portioning-ended' }])).toEqual([
    'Bars: 12 were planned, 2 are in the lot.',
    'Bars: 299.7 g of the mix were neither counted nor left over.',
  ]);
});

test('what went otherwise with bars is told among the deviations', () => {
  expect(record.deviations.filter((say) => say.startsWith('Bar '))).toEqual([
    'Bar 3, 77.2 g, is 0.7 g over its band, kept by Mara.',
    'Bar 2 pulled by Mara, its mass put back into the mix: a corner broke off.',
    'Bar 4: the press jammed on it.',
    'Bar 6, 68.3 g, is short, and not one of the lot.',
  ]);
});

test('the text tells set-point, lot, left-overs and every bar', () => {
  const lines = recordText(record).split('\n');
  const at = lines.indexOf('Bars:');
  expect(lines.slice(at, lines.indexOf('', at))).toMatchInlineSnapshot(`
    [
      "Bars:",
      "  - Set-point 75 g, from 73.5 to 76.5 g; label 70 g",
      "  - 4 bars in the lot (1 short, 1 pulled), together 302.6 g: from 74.9 to",
      "    77.2 g, mean 75.65 g",
      "  - Weighed on the bench scale, from 2026-11-25 10:00:35 (+01:00) to 10:00:45,",
      "    by Mara",
      "  - Left over, in no bar: offcut 75.3 g, crumbs 2.1 g; what became of it is not",
      "    noted",
      "  - Mix by the batch's weighings 450.0 g; weighed off 448.3 g, difference -1.7 g",
      "     1    75.1    2x   74.8    3!   77.2    4    75.4    5    74.9    6!   68.3",
      "  - Bar 2: pulled, back into the mix: a corner broke off",
      "  - Bar 3: over its band, kept",
      "  - Bar 4: pressed again once; the press jammed once",
      "  - Bar 6: short, not one of the lot",
      "  - Bar 1 weighed again 2026-11-25 10:00:47 (+01:00): 71.7 g (4.5 % lost)",
    ]
  `);
  for (const line of lines) expect(line.length).toBeLessThanOrEqual(80);
});

test('JSON has every bar with exact grams', () => {
  const { portioning } = JSON.parse(recordJson(record));
  expect(portioning).toMatchObject({ set_point_g: '75.000', label_g: '70.000', mix_g: '450.000', in_lot: 4 });
  expect(portioning.bars).toHaveLength(6);
  expect(portioning.bars[0]).toMatchObject({ bar: 1, net_g: '75.100', verdict: 'in', again: [{ net_g: '71.700' }] });
  expect(portioning.bars[1]).toMatchObject({ pulled: 'a corner broke off', back_in_mix: true });
  expect(portioning.left_over).toMatchObject([{ what: 'offcut', net_g: '75.300' }, { what: 'crumbs' }]);
});

test('CSV has a row for each, and what was taken from the lots stays the same', () => {
  const rows = (text: string) => text.trimEnd().split('\r\n');
  const all = rows(recordCsv(record));
  expect(all.slice(0, rows(recordCsv(before)).length)).toEqual(rows(recordCsv(before)));
  const bars = all.slice(rows(recordCsv(before)).length).map((row) => parse(row)[0] ?? []);
  for (const row of bars) expect(row).toHaveLength(CSV_COLUMNS.length);
  const status = bars.map((row) => `${row[CSV_COLUMNS.indexOf('status')]} ${row[CSV_COLUMNS.indexOf('bar')]}`.trim());
  expect(status).toEqual([
    'bar 1',
    'bar weighed again 1',
    'bar pulled 2',
    'bar 3',
    'bar 4',
    'bar 5',
    'bar short 6',
    'offcut',
    'crumbs',
  ]);
  expect(bars.every((row) => row[CSV_COLUMNS.indexOf('taken_g')] === '')).toBe(true);
});

test('a log with bars after the end is whole, lists the batch as finished, and stock stays as it was', async () => {
  const log = openLog(`${tempFolder()}/batch.db`);
  await log.append('B', 'Mara', sampleHappened());
  const stock = log.stock((each) => each.all());
  const [earlier] = log.batches();
  await log.append('B', 'Mara', sampleBars());
  expect(log.stock((each) => each.all())).toEqual(stock);
  expect(log.batches()).toEqual([earlier]);
  const made = batchRecord(log.facts('B'), log.seal('B'));
  expect(made.bars?.bars.map(({ net }) => net)).toEqual([75.1, 74.8, 77.2, 75.4, 74.9, 68.3].map(g));
  log.close();
  expect(verifyLog(log.file)).toMatchObject({ ok: true, damages: [] });
});

test('a set-point that was changed on the way leaves the bars before it as they were judged', () => {
  const lower = { ...barsBegin, setPoint: g(74), low: g(73), high: g(75) } as Happened;
  const { bars } = recordOf([...sampleHappened(), barsBegin, aBar(1, 75.9), lower, aBar(2, 74.1)]);
  const rows: Record<string, string>[] = parse(recordCsv({ ...before, bars }), { columns: true });
  expect(rows.filter(({ bar }) => bar !== '').map(({ target_g, low_g, high_g }) => [target_g, low_g, high_g])).toEqual([
    ['75.000', '73.500', '76.500'],
    ['74.000', '73.000', '75.000'],
  ]);
});

test('while bars are still weighed off, what is left of the mix is no loss', () => {
  const begun = { ...barsBegin, mix: before.totals.bowl } as Happened;
  const open = recordOf([...sampleHappened(), begun, aBar(1, 75)]);
  const rest = (of: typeof open) => flowOf(flowOfRecord(of)).ends.find(({ name }) => name === 'not weighed off yet');
  expect(rest(open)?.value).toBe(before.totals.bowl - g(75));
  expect(rest(recordOf([...sampleHappened(), begun, aBar(1, 75), { kind: 'portioning-ended' }]))).toBeUndefined();
});
