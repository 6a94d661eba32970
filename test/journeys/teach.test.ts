/** A scale of a shape that nobody has described is taught in a terminal, and then a batch is weighed on it. */
import { execFile } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { expect, inject, onTestFinished, test } from 'vitest';
import { noBench } from './bench.ts';
import { onScreen } from './onScreen.ts';
import { run as runAlone } from './run.ts';
import { SeenProgram } from './seenProgram.ts';
import { inDigits, type StrangeScale, setUpStrangeScale } from './strangeScale.ts';
import { until } from './until.ts';

const why = noBench === undefined ? '' : ` (skipped: ${noBench})`;

/** The word on rest in angle brackets with the number, a decimal comma, CR alone: no shipped profile is like it. */
const speak: Parameters<typeof setUpStrangeScale>[0] = (shown) => {
  const digits = inDigits(shown);
  const sign = digits.startsWith('-') ? '-' : '+';
  const number = digits.replace('-', '').replace('.', ',').padStart(8);
  return `<${shown.stable ? 'still' : 'swing'}|${sign}${number} g>\r`;
};

function start(scale: StrangeScale, ...args: string[]): SeenProgram {
  const program = new SeenProgram([...args, '--in', scale.folder]);
  onTestFinished(() => program.kill());
  return program;
}

async function strangeScale(): Promise<StrangeScale> {
  const scale = await setUpStrangeScale(speak);
  onTestFinished(() => scale.stop());
  return scale;
}

/** Types a line. */
function type(program: SeenProgram, text: string): void {
  program.press(text);
  program.press('enter');
}

/** The end of the screen while a question waits there. */
const QUESTION = /\((Enter: (it is so|I have begun|show them|yes|none|ask it)[^()]*|\?: I can't see it)\)$/;

/** Does what the program asks, until it asks whether its readings agree. @returns what stood on the screen then */
async function teach(program: SeenProgram, scale: StrangeScale): Promise<string> {
  let answered = '';
  for (;;) {
    const screen = await until(
      'question on the screen',
      async () => {
        const flowing = (await program.screen()).replace(/\s+/g, ' ').trim();
        return flowing !== answered && QUESTION.test(flowing) && flowing;
      },
      { withinMs: 30_000, seen: () => program.screen() },
    );
    answered = screen;
    const from = Math.max(
      screen.lastIndexOf('Now 5 live'),
      ...[...screen.matchAll(/\d\. [A-Z]/g)].map(({ index }) => index),
    );
    const question = screen.slice(Math.max(0, from));
    if (/Did these agree/.test(question)) return screen;
    if (/see it\)$/.test(question)) {
      type(program, await scale.display());
      continue;
    }
    if (/touch the pan/i.test(question)) {
      if (/pan empty/.test(question)) scale.pressTare();
      scale.touch(true);
      program.press('enter');
      await program.waitForText(/Listening for 6 seconds\. It sent: (?:(?!Listening).)*$/);
      scale.touch(false);
      continue;
    }
    if (/tare key/.test(question)) {
      scale.put(31.46);
      await scale.display();
      scale.pressTare();
      scale.put(0);
    } else if (/Take everything off/.test(question)) scale.put(0);
    else if (/Put something else/.test(question)) scale.put(31.46);
    else if (/Put something on/.test(question)) scale.put(163.18);
    else throw new Error(`what is to be done?\n${question}`);
    await scale.display();
    program.press('enter');
  }
}

/** Weighs the practice batch: the vessel on, so many grams into it. */
async function weigh(scale: StrangeScale, grams: number): Promise<void> {
  scale.put(0);
  const program = start(scale, 'weigh', join(scale.folder, 'practice.yaml'));
  const look = onScreen(program).look;
  const at = (headline: string) =>
    until(headline, async () => (await look())?.headline === headline, { seen: () => program.screen() });
  await at('GATHER');
  program.press('enter');
  await at('PUT ON');
  scale.put(96.4);
  await at('ADD');
  scale.put(96.4 + grams);
  await at('LIFT');
  scale.put(0);
  await at('DONE');
  program.press('q');
}

const runToEnd = promisify(execFile);
const title = `an unknown scale is taught in a terminal; then it is read rightly, and a batch is weighed on it${why}`;

test.skipIf(noBench !== undefined)(title, { timeout: 150_000 }, async () => {
  const scale = await strangeScale();
  const before = readFileSync(join(scale.folder, 'workshop.yaml'), 'utf8');
  const teaching = start(scale, 'scale', 'teach', 'shed-scale', '--port', scale.near);
  await teach(teaching, scale);
  teaching.press('enter');
  await teaching.waitForText('Which scale of the workshop is it?');
  expect(readFileSync(join(scale.folder, 'workshop.yaml'), 'utf8')).toBe(before);
  type(teaching, 'bench');
  await teaching.waitForText('The bench scale is connected');
  expect(await teaching.exited).toEqual({ code: 0, signal: 0 });
  const after = readFileSync(join(scale.folder, 'workshop.yaml'), 'utf8');
  for (const line of before.split('\n')) expect(after).toContain(line.trim());

  scale.put(0);
  await scale.display();
  scale.pressTare();
  scale.put(271.83);
  await scale.display();
  const watched = await ran('scale', 'watch', 'bench', '--count', '30', '--in', scale.folder);
  expect(watched).not.toMatch(/not understood/);
  const read = watched.trim().split('\n').at(-1);
  expect(read).toBe('     271.830 g settled    <still|+  271,83 g>');
  expect(await ran('scale', 'check-profile', join(scale.folder, 'scales', 'shed-scale.yaml'))).toMatch(/^OK/);

  await weigh(scale, 50);
  const record = JSON.parse(await ran('record', '--json', '--in', scale.folder));
  expect(record.draws).toMatchObject([{ scale: 'bench', way: 'add', net_g: '50.000' }]);
});

async function ran(...args: string[]): Promise<string> {
  return (await runToEnd(process.execPath, [inject('program'), ...args])).stdout;
}

test.skipIf(noBench !== undefined)(
  `teaching is refused or left with a sentence, and nothing is written${why}`,
  async () => {
    const scale = await strangeScale();
    const words = ['scale', 'teach', 'shed-scale', '--in', scale.folder];
    // Nobody is there to answer.
    expect(await runAlone([...words, '--port', scale.near])).toMatchObject({
      code: 2,
      err: expect.stringMatching(/^Teaching needs somebody at the scale.*Nothing was written\.\n$/),
    });
    expect(
      (await runAlone(['scale', 'teach', 'status-first', '--port', scale.near, '--in', scale.folder])).err,
    ).toMatch(/comes with bismar/);

    const missing = start(scale, 'scale', 'teach', 'shed-scale', '--port', join(scale.folder, 'none'));
    await missing.waitForText(/There is no port .*Nothing was written\./);
    expect((await missing.exited).code).toBe(3);

    const first = start(scale, 'scale', 'teach', 'shed-scale', '--port', scale.near);
    await first.waitForText('1. Take everything off');
    const second = start(scale, 'scale', 'teach', 'other-scale', '--port', scale.near);
    await second.waitForText(/is in use by another program.*Close that one and teach again\. Nothing was written\./);
    expect((await second.exited).code).toBe(3);

    first.press('ctrl+c');
    await first.waitForText('The teaching was left before its end. Nothing was written.');
    expect((await first.exited).code).toBe(1);
    expect(existsSync(join(scale.folder, 'scales'))).toBe(false);
  },
);
