/** `bismar init` asks on a terminal: a scale whose wire profile is not known is no dead end, and leaving is no fault. */
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { noTerminal, SeenProgram } from './seenProgram.ts';

function begin() {
  const around = mkdtempSync(join(tmpdir(), 'bismar-journey-'));
  const folder = join(around, 'workshop');
  const program = new SeenProgram(['init', folder], { columns: 120, rows: 40 });
  onTestFinished(async () => {
    await program.kill();
    rmSync(around, { recursive: true, force: true });
  });
  const answer = async (question: string, text: string) => {
    await program.waitForText(question);
    program.press(text);
    program.press('enter');
  };
  return { program, folder, answer };
}

test.skipIf(noTerminal)('a scale whose profile is not known is typed in, and how to learn it is said', async () => {
  const { program, folder, answer } = begin();
  await answer('Name of the workshop', 'Soap & "co"');
  await answer('Who weighs?', 'Ann, Bo');
  await answer('Is there a bench scale?', '');
  await answer('Its largest load', '3 kg');
  await answer('The step of its display', '5 kg');
  await answer('The step is not less than the largest load', '0.1 g');
  await answer('Its port', '/dev/ttyUSB7');
  await answer('Enter: not known', '');
  await program.waitForText(/scale teach bench-scale --port \/dev\/ttyUSB7 --in /);
  await answer('Is there a fine scale?', 'no');
  expect(await program.exited).toMatchObject({ code: 0 });
  const text = readFileSync(join(folder, 'workshop.yaml'), 'utf8');
  expect(text).toMatch(/bench:\n {4}capacity: 3000 g\n {4}d: 0\.1 g\n {4}keyed: yes/);
});

test.skipIf(noTerminal)('Ctrl+C at a question leaves with a sentence, and nothing is written', async () => {
  const { program, folder, answer } = begin();
  await answer('Name of the workshop', '');
  await program.waitForText('Who weighs?');
  program.press('ctrl+c');
  expect(await program.exited).toMatchObject({ code: 1 });
  const screen = await program.screen();
  expect(screen).toContain('Left. Nothing was written.');
  expect(screen).not.toContain('report this fault');
  expect(existsSync(folder)).toBe(false);
});
