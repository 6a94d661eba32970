/** The same job without a screen: plain lines, and facts as JSON. */
import { expect, onTestFinished } from 'vitest';
import type { Fact } from '../../src/facts/fact.ts';
import { type Journey, journey, THREE_WAYS } from './journey.ts';
import { LinedProgram } from './linedProgram.ts';
import { onLines } from './onLines.ts';
import { run } from './run.ts';
import { expectTrue, recordOf } from './trueRecord.ts';

/** Weighs the trial batch with the maker on lines. @returns the program, which has ended well */
async function weighed({ bench, maker }: Journey, ...options: string[]): Promise<LinedProgram> {
  const program = new LinedProgram(['weigh', 'trial', '--in', bench.folder, ...options]);
  onTestFinished(() => program.kill());
  maker.turnTo(onLines(program, bench));
  await maker.work(({ glance }) => glance.headline === 'DONE');
  expect(await program.exited).toEqual({ code: 0, signal: 0 });
  return program;
}

journey(
  'with --plain and keys on standard input a batch is weighed line by line, and the record is true',
  async (here) => {
    const program = await weighed(here, '--plain');
    expect(program.all).toEqual(program.out);
    expect(program.out.join('\n')).not.toMatch(/\x1b/);
    expect(program.out.at(-1)).toMatch(/is finished\. Its record: .*\.html$/);
    for (const name of ['Glycerin', 'Red dye stock, 1 %', 'Blue dye powder']) {
      expect(program.out).toContainEqual(expect.stringMatching(new RegExp(`${name}: [\\d.]+ g accepted`)));
    }
    expectTrue(await recordOf(here.bench), here.ledger);
  },
  { formula: THREE_WAYS },
);

journey(
  'with --json standard output is the facts, one per line, the same that `log --json` tells',
  async (here) => {
    const program = await weighed(here, '--json');
    const { code, out } = await run(['log', '--json', '--in', here.bench.folder]);
    expect(code).toBe(0);
    const logged = out.trimEnd().split('\n');
    // The batch was begun before the bench opened; its first fact is told by the log.
    expect(program.out).toEqual(logged.slice(logged.length - program.out.length));
    const facts = logged.map((line) => JSON.parse(line) as Fact);
    const told = program.out.map((line) => (JSON.parse(line) as Fact).kind);
    expect(told).toEqual(facts.map(({ kind }) => kind).filter((kind) => kind !== 'batch-started'));
    for (const [index, fact] of facts.entries()) {
      expect(fact).toMatchObject({ seq: index + 1, batch: facts[0]?.batch, by: 'Mira Tolland' });
      expect(fact.at).toMatch(/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}[+-]\d\d:\d\d$/);
    }
    expectTrue(await recordOf(here.bench), here.ledger);
  },
  { formula: THREE_WAYS },
);
