/** A scanner beside the bench: it types like a keyboard, all at once, and ends with Enter. */
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { run } from './run.ts';
import { noTerminal, SeenProgram } from './seenProgram.ts';

const workshop = `
name: Small
operators: [Someone]
scales: {bench: {capacity: 5 kg, d: 0.1 g, repeatability: 0.05 g, keyed: yes}}
vessels: {bowl: {name: Bowl, tare: 300 g, usable: 4 l}}
ingredients:
  flour: {name: Flour, inci: Flour, density: 1 g/ml, lots: {F-1: {on hand: 900 g}}}
  oil: {name: Oil, inci: Oil, density: 1 g/ml, lots: {O-1: {on hand: 500 g}}}
`;
const formula = `
name: Sample
version: 1
batch: 400 g
phases:
  - phase: A
    name: All
    vessel: bowl
    work:
      - {draw: flour, share: 75 %, band: 2 %}
      - {draw: oil, share: 25 %, band: 2 %}
`;

test.skipIf(noTerminal !== undefined)(
  'a scanned label is told on the screen, the right one is noted, and the scanner’s Enter begins nothing',
  async () => {
    const folder = mkdtempSync(join(tmpdir(), 'bismar-journey-'));
    onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
    mkdirSync(join(folder, 'formulas'));
    writeFileSync(join(folder, 'workshop.yaml'), workshop);
    writeFileSync(join(folder, 'formulas', 'sample.yaml'), formula);
    const program = new SeenProgram(['weigh', 'sample', '--in', folder]);
    onTestFinished(() => program.kill());
    await program.waitForText('GATHER');

    // Two elements of variable length, parted by GS (1D hex), as GS1 General Specifications have it.
    program.press(']d2010950600013435210ZZZ-9\x1d240ARTICLE\r');
    await program.waitForText('The wrong jar: Lot ZZZ-9 is not in this batch.');
    program.press(']d2010950600013435210O-1\x1d240ARTICLE\r');
    await program.waitForText('Oil, lot O-1: the right jar (A2).');
    expect(await program.screen()).not.toContain('wrong jar');

    // After any other key an Enter is the hand's own, however soon it comes.
    program.press('w');
    await program.waitForText(/^(?!.*the right jar)/);
    program.press('enter');
    await program.waitForText('PUT ON');
    // The weight of the bowl is asked for: a label is no number.
    program.press('\x1b[200~(10)O-1\x1b[201~');
    await program.waitForText('The wrong jar: That is Oil, lot O-1. Put it back. Wanted now is Flour, lot F-1.');

    const { out } = await run(['log', '--json', '--in', folder]);
    const kinds = out
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line) as { kind: string; lot?: string });
    expect(kinds.map(({ kind }) => kind)).toEqual(['batch-started', 'scales-stand', 'lot-confirmed', 'gathered']);
    expect(kinds[2]).toMatchObject({ lot: 'O-1' });
  },
);
