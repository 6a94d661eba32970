import { describe, expect, it } from 'vitest';
import { widthOf } from '../../src/facts/textWidth.ts';
import { considerPlan } from '../../src/plan/plan.ts';
import { consideredJson } from '../../src/plan/planJson.ts';
import { printWhy } from '../../src/plan/printWhy.ts';
import { BATCH_DAY, demo, demoFormula, smallFormula, smallWorkshop } from './fixtures.ts';

describe('all that was considered for a draw', () => {
  const { considered } = considerPlan(demo, demoFormula, undefined, BATCH_DAY);
  const text = printWhy(considered, 100);
  const of = (id: string) => {
    const all = text.split('\n\n').find((block) => block.startsWith(`${id}  `)) ?? '';
    return all.replace(/\n {4}/g, ' ');
  };

  it('each draw has one that is taken, and says of each other what speaks against it', () => {
    expect(considered).toHaveLength(21);
    for (const { id, chosen } of considered) {
      const lines = of(id).split('\n').slice(1);
      expect(lines).toHaveLength(chosen.candidates.length);
      expect(lines.filter((line) => line.startsWith('  * '))).toHaveLength(1);
      for (const line of lines) expect(line).toMatch(/: (taken: |works, but |no: ).+\.$/);
    }
  });

  it('the blue dye: too little for the bench scale, too little for the cup, so out of its jar', () => {
    expect(of('B3')).toContain('* subtract on fine, Blue dye jar, no lid: taken: the formula asks for subtract');
    expect(of('B3')).toContain(
      '- subtract on bench, Blue dye jar, no lid: no: the bench scale can weigh 5.27 g or more at 5 %.',
    );
  });

  it('the preservative: the bowl would do, but it must never be over', () => {
    expect(of('E1')).toMatch(/cup on fine, Dosing cup, glass: taken: never over, so checked in the cup/);
    expect(of('E1')).toMatch(/cup on fine, Petal dish, thin plastic: works, but Dosing cup, glass comes first\./);
    expect(of('E1')).toContain('the fine scale takes 200 g, and Mixing bowl, steel would weigh up to');
  });

  it('the same for other programs', () => {
    const json = consideredJson(considered);
    expect(json.map(({ draw, candidates }) => [draw, candidates.filter(({ taken }) => taken).length])).toEqual(
      considered.map(({ id }) => [id, 1]),
    );
    const dye = json.find(({ draw }) => draw === 'B3');
    expect(dye).toMatchObject({
      target_g: '0.742268',
      candidates: [{ works: true, parts_g: ['0.742268'] }, { works: false }],
    });
  });

  it('a refused draw: all that stands in the way, and no line is too long', () => {
    const workshop = smallWorkshop();
    const formula = smallFormula(workshop, 0.001, 'band: 1 %');
    const why = printWhy(considerPlan(workshop, formula, undefined, BATCH_DAY).considered, 60);
    expect(why).not.toContain('A2  Dye, 0.010 g\n  *');
    expect(why.match(/- .* no: /g)?.length).toBeGreaterThanOrEqual(6);
    for (const line of why.split('\n')) expect(widthOf(line)).toBeLessThanOrEqual(60);
  });
});
