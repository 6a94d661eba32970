import { describe, expect, it } from 'vitest';
import { printPlan } from '../../src/plan/printPlan.ts';
import { readWorkshop } from '../../src/workshop/readWorkshop.ts';
import { demoFormula, demoText, drawOf, drawsOf, planOf, workshopFrom } from './fixtures.ts';

// Which protection goes with which hazard is common practice, no source: the safety data sheet decides.
const stated = (ingredient: string, keys: string) => (text: string) =>
  text.replace(`  ${ingredient}:\n`, `  ${ingredient}:\n    ${keys}\n`);

const text = [
  stated('tapioca-starch', 'form: powder'),
  stated('corn-starch', 'form: powder'),
  stated('sulfoacetate', 'hazards: [dust, sensitiser]'),
  stated('lactic-acid', 'hazards: [corrosive]'),
  stated('lavender-oil', 'hazards: [sensitiser, flammable]'),
  stated('cocoa-butter', 'form: molten'),
].reduce((all, change) => change(all), demoText);
const plan = planOf(workshopFrom(text), demoFormula);

describe('what can hurt', () => {
  it('is a list of what to have ready, each thing once with all that it is for', () => {
    const ready = plan.cautions.filter((line) => line.startsWith('Have ready'));
    expect(ready).toContain('Have ready a mask against dust: Tapioca starch; Corn starch; Sulfoacetate powder.');
    expect(ready).toContain(
      'Have ready gloves that it does not go through: Lactic acid, 80 %; Sulfoacetate powder; Lavender oil.',
    );
    expect(ready).toContain('Have ready goggles: Lactic acid, 80 %; Cocoa butter, wafers.');
    expect(ready.filter((line) => line.includes('ventilation')).join()).toMatch(/flame.*Lavender oil/);
    expect(new Set(ready).size).toBe(ready.length);
    expect(printPlan(plan, 120)).toContain('Have ready a mask against dust');
  });

  it('defers to the safety data sheet and to local rules, and keeps what the formula says', () => {
    expect(plan.cautions.join(' ')).toContain('safety data sheets and local rules come first');
    for (const caution of demoFormula.cautions) expect(plan.cautions).toContain(caution);
  });

  it('the mask goes on before a dusty jar is opened, and stays on until it is shut', () => {
    const dusty = drawsOf(plan).filter(({ ingredient }) => ingredient === 'sulfoacetate');
    expect(dusty).toHaveLength(2);
    for (const { cautions } of dusty)
      expect(cautions[0]).toMatch(/mask on before the jar is opened, and until it is shut/);
    // What the workshop says itself comes after it.
    expect(drawOf(plan, 'corn-starch').cautions.at(-1)).toMatch(/^Fine dust: mask on/);
    expect(drawOf(plan, 'water').cautions).toEqual([]);
  });

  it('is not made up where nothing is stated', () => {
    expect(planOf(workshopFrom(demoText), demoFormula).cautions).toEqual(demoFormula.cautions);
  });

  it('an unknown hazard is refused with those that are known', () => {
    const read = readWorkshop('workshop.yaml', stated('water', 'hazards: [wet]')(demoText));
    expect(read).toMatchObject({ ok: false });
    expect(JSON.stringify(read)).toContain('dust, corrosive, flammable, sensitiser, hot');
  });
});
