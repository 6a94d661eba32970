import { Decimal } from 'decimal.js';
import { describe, expect, it } from 'vitest';
import { widthOf } from '../../src/facts/textWidth.ts';
import { planJson } from '../../src/plan/planJson.ts';
import { printPlan, printRefusals } from '../../src/plan/printPlan.ts';
import { demo, demoFormula, drawsOf, planOf, refusalsOf } from './fixtures.ts';

const plan = planOf(demo, demoFormula);

describe('a printed plan', () => {
  it.each([80, 90, 100, 120, 200])('has no line longer than %d columns', (width) => {
    for (const line of printPlan(plan, width).split('\n')) expect(widthOf(line)).toBeLessThanOrEqual(width);
    const refusals = printRefusals(demoFormula, refusalsOf(demo, demoFormula, { bars: 40 }), width);
    for (const line of refusals.split('\n')) expect(widthOf(line)).toBeLessThanOrEqual(width);
  });

  it('shows every draw with all its figures in 80 columns', () => {
    const lines = printPlan(plan, 80).split('\n');
    expect(lines[0]).toBe('Cornflower & oat cleansing bar, version 3');
    expect(lines[1]).toBe('24 bars of 75.0 g, 3 % loss: 1855.670 g in all');
    expect(lines).toContain('  B3    Blue dye powder            0.742   0.72 -  0.76  fine  subtract  BD-7');
    expect(lines).toContain('  D1.2  Sulfoacetate powder      341.608  333.1 - 350.1  bench add       SA-91');
    for (const { id } of drawsOf(plan)) expect(lines.some((line) => line.startsWith(`  ${id} `))).toBe(true);
  });

  it('says why, where there is room', () => {
    expect(printPlan(plan, 140)).toContain('bench is good from 13.17 g at 2 %');
    expect(printPlan(plan, 80)).not.toContain('is good from');
  });

  it('says the cautions, the notes and the steps', () => {
    const text = printPlan(plan, 200);
    expect(text).toContain(
      'melt: Melt in short bursts and stir in between. (30 s, at most 8 times, until 72 C, clear)',
    );
    for (const note of [...plan.notes, ...plan.cautions]) expect(text).toContain(note);
  });
});

describe('a plan as JSON', () => {
  it('has masses as strings of exact grams, which add up to the batch', () => {
    const json = planJson(plan);
    expect(json.mass_g).toBe('1855.670103');
    const sum = json.tasks.reduce(
      (total, task) => ('target_g' in task ? total.plus(task.target_g) : total),
      new Decimal(0),
    );
    expect(sum.toString()).toBe(json.mass_g);
    expect(json.tasks.find(({ id }) => id === 'B3')).toMatchObject({
      kind: 'draw',
      ingredient: 'blue-dye',
      phase: 'B',
      vessel: 'liquids-beaker',
      scale: 'fine',
      way: 'subtract',
      lot: 'BD-7',
      target_g: '0.742268',
      low_g: '0.720',
      high_g: '0.760',
      lot_on_hand_g: '27.400',
    });
    expect(json.scales).toMatchObject({ fine: { d_g: '0.010', capacity_g: '200.000', repeatability_g: '0.004' } });
  });

  it('holds no mass as a number', () => {
    const walk = (value: unknown, key: string): void => {
      if (typeof value === 'number') expect(key).toMatch(/^(bars|loss_ppm|index|of|times|for_ms)$/);
      if (typeof value === 'object' && value !== null) for (const [k, v] of Object.entries(value)) walk(v, k);
    };
    walk(JSON.parse(JSON.stringify(planJson(plan))), '');
  });
});
