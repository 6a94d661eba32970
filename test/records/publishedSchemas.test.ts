/** The published schemas: as they are written, true of everything that is printed, and wrong of what is wrong. */
import { readFileSync } from 'node:fs';
import { Ajv2020, type ValidateFunction } from 'ajv/dist/2020.js';
import { beforeAll, describe, expect, test } from 'vitest';
import type { Fact } from '../../src/facts/fact.ts';
import { publishedSchemas } from '../../src/records/publishedSchemas.ts';
import { recordJson } from '../../src/records/record/recordJson.ts';
import { safeJson } from '../../src/records/safeJson.ts';
import { sampleBars } from '../facts/sampleBars.ts';
import { sampleHappened, sealed } from './sampleFacts.ts';
import { longFacts, recordOf, rescuedFacts, sampleRecords, traced } from './sampleRecords.ts';

function shippedText(name: string): string {
  return readFileSync(new URL(`../../schemas/${name}`, import.meta.url), 'utf8');
}

const names = Object.keys(publishedSchemas) as (keyof typeof publishedSchemas)[];

test.each(names)('%s is what the program would write now (npm run schemas)', (name) => {
  expect(shippedText(name)).toBe(publishedSchemas[name]());
});

/** What ajv finds wrong, in a few words; none where it finds nothing. */
function faults(validate: ValidateFunction, value: unknown): string[] {
  return validate(value)
    ? []
    : (validate.errors ?? []).map(({ instancePath, message }) => `${instancePath} ${message}`);
}

let isRecord: ValidateFunction;
let isFact: ValidateFunction;
beforeAll(() => {
  const ajv = new Ajv2020({ allErrors: true, strictTypes: false });
  isRecord = ajv.compile(JSON.parse(shippedText('record.schema.json')));
  isFact = ajv.compile(JSON.parse(shippedText('fact.schema.json')));
});

describe('record --json', () => {
  test.each(Object.keys(sampleRecords))('a record %s', (name) => {
    const record = sampleRecords[name]?.() ?? recordOf([]);
    expect(faults(isRecord, JSON.parse(recordJson(record)))).toEqual([]);
  });

  const good = () => JSON.parse(recordJson(recordOf(sealed(traced([...sampleHappened(), ...sampleBars()])))));

  test.each<[string, (record: ReturnType<typeof good>) => void]>([
    ['a mass that is a number', (record) => Object.assign(record.draws[0], { net_g: 55.4 })],
    ['a mass without decimals', (record) => Object.assign(record.draws[0], { net_g: '55' })],
    ['a mass with a comma', (record) => Object.assign(record.lots[0], { taken_g: '55,400' })],
    ['a lot left out', (record) => Reflect.deleteProperty(record.draws[0], 'lot')],
    ['an unknown way', (record) => Object.assign(record.draws[0], { way: 'throw' })],
    ['an unknown end of an over-pour', (record) => Object.assign(record.over_pours[0], { end: 'hidden' })],
    ['a time without its offset', (record) => Object.assign(record, { started: '2026-11-25T10:00:00.000Z' })],
    ['a trace of text', (record) => Object.assign(record.draws[0], { trace: { midway: false, ms: ['0'], net_g: [] } })],
    ['a bar of number nought', (record) => Object.assign(record.portioning.bars[0], { bar: 0 })],
    ['a hash cut short', (record) => Object.assign(record, { last_hash: 'ab' })],
    ['a field that nobody knows', (record) => Object.assign(record, { colour: 'blue' })],
    ['no totals', (record) => Reflect.deleteProperty(record, 'totals')],
  ])('is not one with %s', (_, spoil) => {
    const record = good();
    expect(faults(isRecord, record)).toEqual([]);
    spoil(record);
    expect(faults(isRecord, record)).not.toEqual([]);
  });
});

describe('log --json', () => {
  const facts: readonly Fact[] = [
    ...sealed(traced([...sampleHappened(), ...sampleBars()])),
    ...rescuedFacts(),
    ...longFacts(2),
  ];

  test('every fact of the samples, with traces, bars and a rescue', () => {
    expect(new Set(facts.map(({ kind }) => kind)).size).toBeGreaterThan(18);
    for (const fact of facts) expect(faults(isFact, JSON.parse(safeJson(fact))), fact.kind).toEqual([]);
  });

  test.each<[string, Record<string, unknown>]>([
    ['a fraction of a microgram', { net: 0.5 }],
    ['a mass as text', { net: '12' }],
    ['an unknown kind', { kind: 'poured' }],
    ['a place before the first', { seq: 0 }],
    ['a field that nobody knows', { colour: 'blue' }],
    ['less than nothing taken back', { takenBack: -1 }],
    ['a trace of one point', { trace: { midway: false, ms: [0], net: [0] } }],
  ])('is not one with %s', (_, change) => {
    const weighed = facts.find(({ kind }) => kind === 'weighed');
    expect(faults(isFact, weighed)).toEqual([]);
    expect(faults(isFact, { ...weighed, ...change })).not.toEqual([]);
  });
});
