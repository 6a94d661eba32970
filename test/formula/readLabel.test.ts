import { describe, expect, it } from 'vitest';
import { readFormula } from '../../src/formula/readFormula.ts';
import { readNet } from '../../src/formula/readLabel.ts';
import { printProblems } from '../../src/workshop/problems.ts';
import { demo, demoFormulaText } from '../plan/fixtures.ts';

const plain = demoFormulaText.replace(/^label:.*\n/m, '');

function labelOf(line: string) {
  const read = readFormula('bar.yaml', `${line}\n${plain}`, demo);
  return read.ok ? read.formula.label : printProblems(read.problems);
}

describe('what a formula says for the label', () => {
  it('is read with the net weight as it is to be printed', () => {
    expect(labelOf('label: { net: 70 g, use: rinse-off, dried: 4.5 % }')).toEqual({
      net: { number: '70', unit: 'g' },
      use: 'rinse-off',
      dryingPpm: 45_000,
    });
    expect(labelOf('label: { net: 2.50 oz }')).toEqual({
      net: { number: '2.50', unit: 'oz' },
      use: undefined,
      dryingPpm: undefined,
    });
    expect(labelOf('')).toBeUndefined();
  });

  it.each([
    ['label: { net: 70 }', /label\.net\s+found `70`, expected a net weight such as `70 g` or `2\.5 oz`/],
    ['label: { net: 0 g }', /expected a net weight/],
    ['label: { net: -5 g }', /expected a net weight/],
    // Less than a hundredth of an ounce would be told as none.
    ['label: { net: 0.283 g }', /from 0\.01 oz to below 100 kg/],
    ['label: { net: 2.125 oz }', /expected a net weight/],
    ['label: { net: 100 kg }', /expected a net weight/],
    ['label: { use: shampoo }', /label\.use\s+found `shampoo`, expected `rinse-off` or `leave-on`/],
    ['label: { dried: 51 % }', /expected a loss in drying of 0 % to 50 %/],
    ['label: { weight: 70 g }', /weight/],
  ])('%s is told', (line, problem) => {
    expect(labelOf(line)).toMatch(problem);
  });

  it('knows grams, kilograms, ounces and pounds only', () => {
    expect(readNet('1.25 kg')).toEqual({ number: '1.25', unit: 'kg' });
    expect(readNet(' 8oz ')).toEqual({ number: '8', unit: 'oz' });
    for (const text of ['5 mg', '3 ozt', '1e3 g', '٧٠ g', '70 g\u202e', '', 'g']) expect(readNet(text)).toBeUndefined();
  });
});
