import { expect, test } from 'vitest';
import type { Happened } from '../../../src/facts/fact.ts';
import type { Plan } from '../../../src/plan/model.ts';
import { batchRecord } from '../../../src/records/record/batchRecord.ts';
import { CSV_COLUMNS, recordCsv } from '../../../src/records/record/recordCsv.ts';
import { g, sampleHappened, samplePlan, sealed, weighed } from '../sampleFacts.ts';

const seal = { seq: 1, hash: '0'.repeat(64) };

function csvOf(happened: readonly Happened[]): string {
  return recordCsv(batchRecord(sealed(happened), seal));
}

/** Reads CSV by the grammar of RFC 4180, section 2, and nothing else. */
function readCsv(text: string): string[][] {
  const rows: string[][] = [];
  let row: string[] = [];
  const field = /(?:"((?:[^"]|"")*)"|([\x20\x21\x23-\x2b\x2d-\u{10ffff}]*))(,|\r\n)/uy;
  while (field.lastIndex < text.length) {
    const at = field.lastIndex;
    const found = field.exec(text);
    if (!found) throw new Error(`not RFC 4180 at ${at}: ${text.slice(at, at + 30)}`);
    row.push(found[1] === undefined ? (found[2] ?? '') : found[1].replaceAll('""', '"'));
    if (found[3] === ',') continue;
    rows.push(row);
    row = [];
  }
  return rows;
}

function column(rows: readonly string[][], name: (typeof CSV_COLUMNS)[number]): string[] {
  return rows.slice(1).map((row) => row[CSV_COLUMNS.indexOf(name)] ?? '');
}

test('one draw, letter for letter', () => {
  const text = csvOf([{ kind: 'batch-started', plan: samplePlan }, weighed('A1', g(55.4))]);
  expect(text).toBe(
    [
      'batch,formula,version,status,draw,phase,ingredient,name,inci,vessel,scale,way,lot,target_g,low_g,high_g,before_g,after_g,taken_g,net_g,bowl_g,uncertainty_g,at,by,notes,u_rounding_g,u_repeatability_g,u_drift_g,u_check_g,scale_check,doubt_g,coverage_factor,stuck_g,bar',
      '2026-11-25-1,cornflower-oat,3,in the batch,A1,A,glyceryl-stearate,"Glyceryl stearate, flakes",Glyceryl Stearate,V1,bench,add,GS-118,55.670,54.600,56.700,296.400,351.800,55.400,55.400,55.400,0.151,2026-11-25T10:00:01.000+01:00,Mara,,0.040825,0.070711,0.000,0.000,not checked,,2,0.000,',
      '',
    ].join('\r\n'),
  );
});

test('every row has every column, and what was taken adds up', () => {
  const rows = readCsv(csvOf(sampleHappened()));
  expect(rows[0]).toEqual([...CSV_COLUMNS]);
  for (const row of rows) expect(row).toHaveLength(CSV_COLUMNS.length);
  expect(column(rows, 'status')).toEqual([...Array(8).fill('in the batch'), 'given up', 'thrown away']);
  const taken = column(rows, 'taken_g').reduce((sum, text) => sum + Math.round(Number(text) * 1e6), 0);
  expect(taken).toBe(g(1025.8)); // by hand, see batchRecord.test.ts
});

test.each([
  ['=1+1', "'=1+1"],
  ['+1', "'+1"],
  ['-1', "'-1"],
  ['@SUM(A1)', "'@SUM(A1)"],
  ['\t=1+1', "'=1+1"],
  ['\r=1+1', "'=1+1"],
  [' \u200b =1+1', "'=1+1"],
  ['\u202e=1+1', "'=1+1"],
  ['\uff1d1+1', "'\uff1d1+1"],
  ['a;=1+1', "a;'=1+1"],
  ['"quoted", and\r\nbroken', '"quoted", and  broken'],
  ['\u001b[31mred\u0007', 'red'],
])('a name that would do harm in a spreadsheet: %j', (name, expected) => {
  const [first, ...rest] = samplePlan.tasks;
  const tasks = first?.kind === 'draw' ? [{ ...first, name }, ...rest] : [];
  const plan: Plan = { ...samplePlan, tasks };
  const rows = readCsv(csvOf([{ kind: 'batch-started', plan }, weighed('A1', g(55.4), { by: name } as object)]));
  expect(column(rows, 'name')).toEqual([expected]);
});

test('a mass below zero stays a number', () => {
  const rows = readCsv(
    csvOf([
      { kind: 'batch-started', plan: samplePlan },
      weighed('E1', g(0.01), { before: g(-0.02), after: g(-0.01) }),
      { kind: 'tipped', draw: 'E1', vessel: 'V4', residue: g(0.03), deviation: null },
    ]),
  );
  expect(column(rows, 'before_g')).toEqual(['-0.020']);
  expect(column(rows, 'bowl_g')).toEqual(['-0.020']);
});
