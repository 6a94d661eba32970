/** `bismar label`, on the demo's workshop with a batch in its log. */
import { cpSync, mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, expect, test, vi } from 'vitest';
import { Ending } from '../../../src/cli/exit.ts';
import { type LabelOptions, label } from '../../../src/cli/stock/label.ts';
import type { Happened } from '../../../src/facts/fact.ts';
import { openLog } from '../../../src/records/batchLog.ts';
import { demo, demoFormula, fixture, planOf } from '../../plan/fixtures.ts';
import { tempFolder } from '../../records/tempFolder.ts';
import { walkOn } from '../../rescue/walkTo.ts';
import { sealed } from '../../weighing/samplePlan.ts';

afterEach(() => vi.restoreAllMocks());

const plan = planOf(demo, demoFormula);
const begun = sealed([{ kind: 'batch-started', plan }, { kind: 'gathered' }]);
const all = walkOn(begun, null, null).facts.map((fact): Happened => {
  const { batch: _batch, seq: _seq, at: _at, by: _by, ...happened } = fact;
  return happened;
});

async function workshop(ending: readonly Happened[] | undefined): Promise<string> {
  const folder = tempFolder();
  cpSync(fileURLToPath(new URL('../../../fixtures/demo', import.meta.url)), folder, { recursive: true });
  if (ending) {
    const log = openLog(join(folder, 'batches.db'));
    await log.append('2026-11-25-1', 'Ann', [...all, ...ending]);
    log.close();
  }
  return folder;
}

/** What it prints, or the sentence that it ends with. */
async function told(of: string | undefined, options: LabelOptions): Promise<string> {
  let text = '';
  vi.spyOn(process.stdout, 'write').mockImplementation((chunk) => {
    text += String(chunk);
    return true;
  });
  try {
    await label(of, options);
    return text;
  } catch (error) {
    if (error instanceof Ending) return `${error.code}: ${error.message}`;
    throw error;
  }
}

test('the newest batch, or one by the beginning of its id, by what was weighed', async () => {
  const folder = await workshop([{ kind: 'finished' }]);
  for (const of of [undefined, '2026-11']) {
    const text = await told(of, { in: folder });
    expect(text).toMatch(/Batch 2026-11-25-1, by the weights really used: 18\d\d\.\d\d g\./);
    expect(text).toMatch(/EU {2}Ingredients: Sodium Lauryl Sulfoacetate,/);
  }
});

test('a formula by its name or its file, before any batch', async () => {
  const folder = await workshop(undefined);
  const file = join(folder, 'formulas', 'cornflower-oat-bar.yaml');
  for (const of of ['cornflower-oat-bar', file]) {
    expect(await told(of, { in: folder })).toMatch(/By the formula, with every target hit/);
  }
});

test('JSON for other programs, with another net weight and use', async () => {
  const folder = await workshop(undefined);
  const made = JSON.parse(await told('cornflower-oat-bar', { in: folder, json: true, net: '2.5 oz', use: 'leave-on' }));
  expect(made.net_contents).toEqual({ eu: '70.8 g', us: 'Net Wt 2.5 oz (70.8 g)', needed_in_eu: true });
  expect([made.use, made.basis, made.batch]).toEqual(['leave-on', 'planned', null]);
  expect(made.lists.eu.rows).toHaveLength(20 + 5 + 2);
  expect(made.notes[0]).toMatch(/qualified person/);
});

test('a net weight that the dried bar does not reach is told', async () => {
  const text = await told('cornflower-oat-bar', { in: await workshop(undefined), net: '72g' });
  expect(text.replace(/\s+/g, ' ')).toContain(
    'A bar of 75.0 g weighs 71.6 g once dried, less than the 72 g declared: declare less, or press heavier.',
  );
});

test('a batch that is open or given up has none, and what works is said', async () => {
  expect(await told(undefined, { in: await workshop([]) })).toMatch(
    /^1: Batch 2026-11-25-1 is still open: .*Before a batch is weighed: .*bismar label cornflower-oat-bar/,
  );
  expect(await told(undefined, { in: await workshop([{ kind: 'abandoned', reason: 'burnt' }]) })).toMatch(
    /^1: Batch 2026-11-25-1 was given up: it has no label/,
  );
});

test('wrong words', async () => {
  expect(await told('corn', { in: await workshop([{ kind: 'finished' }]) })).toMatch(
    /^1: There is no batch "corn"\. .*No formula has this name either\./,
  );
  const folder = await workshop(undefined);
  expect(await told('corn', { in: folder })).toMatch(/^1: There is no formula "corn"\. No batch was begun/);
  expect(await told(undefined, { in: folder, use: 'soap' })).toBe('2: --use wants rinse-off or leave-on.');
  expect(await told(undefined, { in: folder, net: '70' })).toMatch(/^2: --net wants the net weight/);
});

test('a blend whose parts nobody stated: what is missing, and where to write it', async () => {
  const folder = await workshop(undefined);
  const text = fixture('demo/workshop.yaml').replace(/ {4}made of:\n( {6}- \{ inci: (Pheno|Ethylhex).*\n)+/, '');
  writeFileSync(join(folder, 'workshop.yaml'), text);
  const said = await told('cornflower-oat-bar', { in: folder });
  expect(said).toMatch(/^1: The list can not be written yet:/);
  expect(said.replace(/\s+/g, ' ')).toContain(
    'Preservative blend (90:10) has several INCI names (Phenoxyethanol, Ethylhexylglycerin), and how much of each is not stated.',
  );
  expect(said).toMatch(/`made of:`/);
});

test.each(['gone', 'faulty'])('a batch whose formula is %s has its list all the same', async (how) => {
  const folder = await workshop([{ kind: 'finished' }]);
  rmSync(join(folder, 'formulas'), { recursive: true });
  if (how === 'faulty') {
    mkdirSync(join(folder, 'formulas'));
    writeFileSync(join(folder, 'formulas', 'formula.yaml'), 'name: [');
  }
  const text = await told(undefined, { in: folder, use: 'rinse-off' });
  expect(text.replace(/\s+/g, ' ')).toMatch(/limits were not looked at/);
  // What the formula said for the label is kept in the batch's plan.
  expect(text).toMatch(/Net contents/);
});
