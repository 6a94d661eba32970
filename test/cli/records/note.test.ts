/** From a check that wants a pH measured to the value in the record. */
import { cpSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import { Ending } from '../../../src/cli/exit.ts';
import { type NoteOptions, note } from '../../../src/cli/records/note.ts';
import { recordOf } from '../../../src/cli/records/recordPage.ts';
import { printPlan } from '../../../src/plan/printPlan.ts';
import { openLog } from '../../../src/records/batchLog.ts';
import { recordHtml } from '../../../src/records/record/recordHtml.tsx';
import { recordText } from '../../../src/records/record/recordText.ts';
import { demo, formulaFrom, planOf } from '../../plan/fixtures.ts';

const WASH = `
name: Wash
version: 1
batch: 1 kg
phases:
  - phase: A
    name: All
    vessel: mixing-bowl
    work:
      - { draw: glycerin, share: 60 %, band: 2 % }
      - { draw: decyl-glucoside, share: rest, band: 2 % }
      - check: Measure a pinch of it in water.
        measure: { what: pH, from: 5.0, to: 5.60 }
`;
const plan = planOf(demo, formulaFrom(WASH, demo));
const [by = ''] = demo.operators;

let folder = '';
let out = '';
beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'bismar-note-'));
  cpSync(new URL('../../../fixtures/demo/workshop.yaml', import.meta.url), join(folder, 'workshop.yaml'));
  mkdirSync(join(folder, 'formulas'));
  writeFileSync(join(folder, 'formulas', 'wash.yaml'), WASH);
  const log = openLog(join(folder, 'batches.db'));
  await log.append('2026-11-25-1', by, [{ kind: 'batch-started', plan }]);
  log.close();
  out = '';
  vi.spyOn(process.stdout, 'write').mockImplementation((text) => {
    out += String(text);
    return true;
  });
});
afterEach(() => {
  vi.restoreAllMocks();
  rmSync(folder, { recursive: true, force: true });
});

const put = (what: string, value: string, options: Omit<NoteOptions, 'in'> = {}) => {
  try {
    return note(what, value, { ...options, in: folder }).catch((error: unknown) => String(error));
  } catch (error) {
    if (error instanceof Ending) return Promise.resolve(error.message);
    throw error;
  }
};

async function record(finish = false) {
  const log = openLog(join(folder, 'batches.db'));
  if (finish) await log.append('2026-11-25-1', by, [{ kind: 'finished' }]);
  const made = recordOf(log, '2026-11-25-1');
  log.close();
  return made;
}

it('the plan tells what is wanted', () => {
  expect(printPlan(plan)).toContain('> check: Measure a pinch of it in water. (measure pH, wanted 5.0 to 5.60)');
});

it('a value is kept as it was read, at the step that asks for it', async () => {
  expect(await put('ph', '5,40')).toBe(0);
  expect(out).toMatch(/#2 measured ph 5\.40 \(wanted 5\.0 to 5\.60\)/);
  const made = await record(true);
  expect(made.measured).toMatchObject([{ step: 'A/1', what: 'ph', value: '5.40' }]);
  expect(recordText(made)).toMatch(/Measured:\n {2}- measured ph 5\.40/);
  expect(made.deviations.join()).not.toMatch(/pH/i);
});

it.each(['4.99', '5.601', '0', '14'])('%s is outside, and told as such', async (value) => {
  expect(await put('pH', value)).toBe(0);
  expect(out).toContain('OUTSIDE');
  expect((await record()).deviations).toContain(`Measured pH ${value} (wanted 5.0 to 5.60: OUTSIDE).`);
});

it.each(['5', '5.0', '5.6', '5.6000'])('%s is inside', async (value) => {
  await put('pH', value);
  expect(out).not.toContain('OUTSIDE');
});

it('what was to be measured and was not is told when the batch is finished', async () => {
  const missing = 'Step A/1, check: no measured value was noted (pH, wanted 5.0 to 5.60).';
  expect((await record()).deviations).not.toContain(missing);
  expect((await record(true)).deviations).toContain(missing);
});

it('a check that was done without its value is told at once, and beside it on the page, until the value is there', async () => {
  const log = openLog(join(folder, 'batches.db'));
  await log.append('2026-11-25-1', by, [{ kind: 'step-done', step: 'A/1', bursts: 0 }]);
  log.close();
  const missing = /Step A\/1, check: no measured value was noted/;
  expect((await record()).deviations.join()).toMatch(missing);
  expect(recordHtml(await record())).toContain('Measure a pinch of it in water. NO VALUE NOTED.');
  await put('pH', '5.4');
  expect((await record()).deviations.join()).not.toMatch(missing);
  expect(recordHtml(await record())).toContain('in water. Measured pH 5.4 (wanted 5.0 to 5.60).');
});

it('other things may be noted, too', async () => {
  expect(await put('specific gravity', '1.45')).toBe(0);
  expect((await record()).measured).toMatchObject([{ step: null, value: '1.45' }]);
});

it.each([
  ['pH', 'sour', {}, /note wants what was measured and a number/],
  ['', '5', {}, /note wants/],
  ['pH', '1e3', {}, /note wants/],
  ['pH', '99', {}, /A pH of 99 can't be: the scale goes from 0 to 14\. Nothing was written down/],
  ['ph', '14.01', {}, /0 to 14/],
  ['pH of the bar', '-0,1', {}, /0 to 14/],
  ['pH', '5', { step: 'B/9' }, /no step "B\/9"\. These ask for a value: A\/1 \(pH\)/],
  ['pH', '5', { batch: '1999' }, /1999/],
  ['pH', '5', { by: 'Nobody' }, /not among the operators/],
])('%s %s %j gets a sentence, and nothing is written', async (what, value, options, words) => {
  expect(await put(what, value, options)).toMatch(words);
  expect((await record()).measured).toEqual([]);
});

it.each([
  ['check: Look.\n        measure: { what: pH, from: 6, to: 5 }', /expected a number not below `from`/],
  ['check: Look.\n        measure: { what: pH, from: low, to: 5 }', /expected a number such as `5.4`/],
  ['check: Look.\n        measure: { what: pH, from: 5 }', /measure\.to/],
  ['mix: Stir.\n        measure: { what: pH, from: 5, to: 6 }', /expected a `measure` only in a `check`/],
])('a formula with %s is told', (step, words) => {
  const text = WASH.replace(/check: Measure[\s\S]*$/, `${step}\n`);
  expect(() => formulaFrom(text, demo)).toThrow(words);
});
