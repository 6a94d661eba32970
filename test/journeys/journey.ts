/** One journey: a bench, a maker who keeps the true account of it, and the programs that are started there. */
import { onTestFinished, test } from 'vitest';
import { type Bench, type BenchOptions, noBench, setUpBench } from './bench.ts';
import { Ledger } from './ledger.ts';
import { Maker } from './maker.ts';
import { onScreen } from './onScreen.ts';
import { type SeenOptions, SeenProgram } from './seenProgram.ts';

export interface Journey {
  readonly bench: Bench;
  readonly ledger: Ledger;
  readonly maker: Maker;
  /** Starts `bismar` in a terminal; the maker turns to it. It is ended with the test. */
  start(args: readonly string[], options?: SeenOptions): SeenProgram;
}

export interface JourneyOptions extends BenchOptions {
  readonly timeout?: number;
}

/** A test at a bench of its own; skipped aloud where there can be none. */
export function journey(title: string, walk: (journey: Journey) => Promise<void>, options: JourneyOptions = {}): void {
  const why = noBench === undefined ? '' : ` (skipped: ${noBench})`;
  test.skipIf(noBench !== undefined)(title + why, { timeout: options.timeout ?? 120_000 }, async () => {
    const bench = await setUpBench(options);
    onTestFinished(() => bench.stop());
    const ledger = new Ledger(bench.world);
    const maker = new Maker(bench, ledger);
    await walk({
      bench,
      ledger,
      maker,
      start(args, seenOptions) {
        const program = new SeenProgram([...args, '--in', bench.folder], seenOptions);
        onTestFinished(() => program.kill());
        maker.turnTo(onScreen(program));
        return program;
      },
    });
  });
}

/** A batch of three draws, one for each way: into the beaker, through the cup, out of the jar. */
export const THREE_WAYS = `name: Three ways
version: 1
batch: 75 g
phases:
  - phase: A
    name: Trial
    vessel: liquids-beaker
    work:
      - draw: glycerin
        share: 96 %
        band: 2 %
        over: forgiving
      - draw: red-stock
        share: 3 %
        band: 5 %
        over: never
      - draw: blue-dye
        share: 1 %
        band: 5 %
        over: never
        way: subtract
`;
