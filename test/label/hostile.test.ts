/** Names from files and logs that are no good, and materials that nobody knows enough of. */
import { describe, expect, it } from 'vitest';
import type { Fact } from '../../src/facts/fact.ts';
import { labelJson } from '../../src/label/labelJson.ts';
import { labelOfBatch } from '../../src/label/labelSheet.ts';
import { printLabel } from '../../src/label/printLabel.ts';
import { takeApart } from '../../src/label/takeApart.ts';
import { safeJson } from '../../src/records/safeJson.ts';
import { sampleHappened, samplePlan, sealed } from '../records/sampleFacts.ts';
import { ingredient, material, mixOf, workshopOf } from './mixes.ts';

describe('what is not known is not guessed', () => {
  it.each(['Aqua, Glycerin', 'Phenoxyethanol (and) Ethylhexylglycerin', 'Aqua; Parfum'])(
    'several names without their shares: %s',
    (inci) => {
      expect(mixOf([[ingredient('blend', inci), 1]]).mix.unknown).toEqual([
        `blend has several INCI names (${inci}), and how much of each is not stated.`,
      ]);
    },
  );

  it('names with commas of their own, or a slash, are one', () => {
    const one = ['1,2-Hexanediol', 'Acrylates/C10-30 Alkyl Acrylate Crosspolymer'];
    for (const inci of one) expect(mixOf([[ingredient('x', inci), 1]]).mix.unknown).toEqual([]);
  });

  it('a strength without the rest; with its parts it is known', () => {
    const base = { ...ingredient('s', 'Decyl Glucoside'), active: 500_000 };
    expect(mixOf([[base, 1]]).mix.unknown).toEqual(['s is 50 % active, and what the rest is, is not stated.']);
    const parts = [
      { inci: 'Decyl Glucoside', ppm: 500_000 },
      { inci: 'Aqua', ppm: 500_000 },
    ];
    expect(mixOf([[{ ...base, madeOf: parts }, 1]]).mix.unknown).toEqual([]);
  });

  it('ingredients inside ingredients are taken apart as deep as a workshop file may have them', () => {
    const nested = Array.from({ length: 6 }, (_, n) => {
      const inner = n === 0 ? { inci: 'Aqua', ppm: 1_000_000 } : { of: `n${n - 1}`, ppm: 1_000_000 };
      return ingredient(`n${n}`, 'Aqua', { madeOf: [inner], allergens: [{ inci: 'Linalool', ppm: 1 }] });
    });
    const last = nested[5];
    if (!last) throw new Error('none');
    const { unknown, substances, allergens, total } = takeApart([material(last, 7)], workshopOf(nested));
    expect([unknown, substances.map(({ inci }) => inci)]).toEqual([[], ['Aqua']]);
    expect(allergens.map(({ amount }) => amount * 1_000_000n)).toEqual(Array(6).fill(total));
  });

  it('parts that lead nowhere, or round in a circle, where the file was not checked', () => {
    const round = ingredient('round', 'Round', { madeOf: [{ of: 'round', ppm: 1_000_000 }] });
    expect(mixOf([[round, 1]]).mix.unknown).toHaveLength(1);
    const lost = ingredient('lost', 'Lost', { madeOf: [{ of: 'nowhere', ppm: 1_000_000 }] });
    expect(mixOf([[lost, 1]]).mix.unknown).toEqual(['lost is made of nowhere, which this workshop does not tell.']);
  });
});

describe('what a lot states counts before its ingredient', () => {
  const lot = { id: 'L-2', onHand: 0 as never, expires: undefined, pricePerKg: undefined, jar: undefined };
  const acid = {
    ...ingredient('acid', 'Lactic Acid', { madeOf: [{ inci: 'Lactic Acid', ppm: 1_000_000 }] }),
    lots: [
      {
        ...lot,
        madeOf: [
          { inci: 'Lactic Acid', ppm: 800_000 },
          { inci: 'Aqua', ppm: 200_000 },
        ],
      },
    ],
  };
  const parts = (code: string) =>
    takeApart([material(acid, 1, code)], workshopOf([acid])).substances.map(({ inci }) => inci);

  it('for that lot only', () => {
    expect(parts('L-2')).toEqual(['Lactic Acid', 'Aqua']);
    expect(parts('L-1')).toEqual(['Lactic Acid']);
  });

  it('a name in `inci` that is not among the parts is told', () => {
    const slip = ingredient('x', 'Decyl Glucoside', { madeOf: [{ inci: 'Decyl Glucosid', ppm: 1_000_000 }] });
    expect(mixOf([[slip, 1]]).mix.notes).toEqual([
      'x: its `inci` says Decyl Glucoside, which is not among its parts. The parts count.',
    ]);
  });
});

/** The sample batch with an ingredient that its workshop no longer has, under a name from a log that was tampered with. */
function tampered(inci: string, name = 'Shea') {
  const tasks = samplePlan.tasks.map((task) => (task.kind === 'draw' ? { ...task, inci, name } : task));
  const plan = { ...samplePlan, tasks, formula: { ...samplePlan.formula, name } };
  const facts: readonly Fact[] = sealed(sampleHappened(plan));
  const result = labelOfBatch({ id: 'b', plan }, facts, workshopOf([]), undefined);
  if (!result.ok) throw new Error(result.faults.join('\n'));
  return result.sheet;
}

describe('hostile names', () => {
  it.each([
    ['\x1b[2J\x1b]0;title\x07Aqua', 'Aqua'],
    ['Talc\u202e\u200b\x9b31m', 'Talc'],
    ['A\r\nB', 'A B'],
    ['__proto__', '__proto__'],
    ['constructor', 'constructor'],
    ['<script>alert(1)</script>', '<script>alert(1)</script>'],
    ['=1+1', '=1+1'],
  ])('%j can not steer the terminal', (inci, shown) => {
    const sheet = tampered(inci, `\x1b[31m${inci}`);
    expect(sheet.EU.rows.map(({ name }) => name)).toEqual([shown]);
    for (const text of [printLabel(sheet, 80), safeJson(labelJson(sheet))]) {
      expect(text).not.toMatch(/[\x00-\x09\x0b-\x1f\x7f-\x9f\u202e\u200b]/);
    }
  });

  it('a name as long as a page is cut on the screen, and whole in the list', () => {
    const long = 'Poly'.repeat(2000);
    const sheet = tampered(long);
    expect(sheet.EU.text).toContain(long);
    for (const line of printLabel(sheet, 80).split('\n')) expect(line.length).toBeLessThanOrEqual(80);
  });

  it('nothing but marks that are not seen has no name, and is told', () => {
    expect(tampered('\u200b\u200b').EU.rows.map(({ name }) => name)).toEqual(['(no name)']);
  });
});

it('a batch of nothing has no label', () => {
  const facts = sealed([{ kind: 'batch-started', plan: samplePlan }]);
  const result = labelOfBatch({ id: 'b', plan: samplePlan }, facts, workshopOf([]), undefined);
  expect(result).toEqual({ ok: false, faults: ['Nothing was weighed, so there is nothing to list.'] });
});
