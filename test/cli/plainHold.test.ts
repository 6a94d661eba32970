/** A hold on plain lines: the same choices by the same keys, and what an offer takes line by line. */
import { expect, test } from 'vitest';
import { openLineFront } from '../../src/cli/weigh/lineFront.ts';
import { holding } from '../screen/holding.ts';

/** No label is read here. */
const labels = { isLabel: () => false, read: () => ({ ok: false, say: '' }) };

async function onLines(ingredient: string, grams: number) {
  const { controls, station } = await holding(ingredient, grams);
  const lines: string[] = [];
  const front = openLineFront(
    { station, controls, labels, otherKey: () => {}, leave: () => {}, giveUp: () => {} },
    { json: false, input: undefined, print: () => {}, aside: (line) => lines.push(line), onUnanswerable: () => {} },
  );
  return {
    lines,
    press(key: string) {
      lines.length = 0;
      controls.press(key);
      front.changed();
    },
    front,
  };
}

test('the ways out, a page of sizes, and all that one of them takes', async () => {
  const { lines, press, front } = await onLines('shea-butter', 81.7);
  front.changed();
  expect(lines.at(-1)).toMatch(/^> STOP: 6\.0 g too much\. .* {2}\[s\] scale up: .* {2}\[k\] .* {2}\[g\] .* {2}\[x\] /);
  press('s');
  expect(lines.at(-1)).toMatch(/^> SCALE UP: .* \[2\] 26 bars instead of 24, within bands: 154\.6 g more, top up two /);
  press('2');
  expect(lines).toContain('  To top up, right after this:');
  expect(lines).toContainEqual(expect.stringMatching(/^ {2}Glyceryl stearate, flakes, GS-118, \+ \d+\.\d g$/));
  expect(lines.at(-1)).toMatch(
    /^> SCALE UP\?: 26 bars instead of 24: .* {2}\[Enter\] yes, scale up {2}\[x\] no, go back$/,
  );
  front.changed();
  expect(lines.filter((line) => line.startsWith('>'))).toHaveLength(1);
});

test('why there is none', async () => {
  const { lines, front } = await onLines('glycerin', 75);
  front.changed();
  expect(lines[0]).toMatch(/^ {2}No scale-up: Liquids beaker, glass holds 320 ml, and \d+ ml would be in it\.$/);
  expect(lines[1]).toMatch(/^> STOP: /);
});
