/** The batch record against the truth of the simulated world. */
import { expect } from 'vitest';
import { type Mass, mass, minus, size } from '../../src/mass/mass.ts';
import { readMass } from '../../src/mass/text.ts';
import type { Bench } from './bench.ts';
import type { Ledger } from './ledger.ts';
import { run } from './run.ts';

/** The fields of `record --json` that are looked at here. */
export interface RecordedDraw {
  readonly draw: string;
  readonly ingredient: string;
  readonly way: 'add' | 'cup' | 'subtract';
  readonly lot: string;
  readonly low_g: string;
  readonly high_g: string;
  readonly taken_g: string;
  readonly net_g: string;
  readonly bowl_g: string | null;
  readonly uncertainty_g: string;
}

export interface RecordedBatch {
  readonly batch: string;
  readonly status: string;
  readonly draws: readonly RecordedDraw[];
  readonly over_pours: readonly { readonly draw: string; readonly over_g: string; readonly end: string }[];
  readonly measured: readonly { readonly what: string; readonly value: string }[];
  readonly deviations: readonly string[];
  readonly resumed: readonly unknown[];
  readonly scale_events: readonly unknown[];
}

/** What `bismar record --json` says of the bench's only batch. */
export async function recordOf({ folder }: Bench): Promise<RecordedBatch> {
  const { code, out, err } = await run(['record', '--json', '--in', folder]);
  expect({ code, err }).toEqual({ code: 0, err: '' });
  return JSON.parse(out) as RecordedBatch;
}

/** A mass of the record, exactly as written. */
export function grams(text: string): Mass {
  const read = readMass(text, 'g');
  if (read === undefined) throw new Error(`"${text}" is no mass`);
  return read;
}

/** Every draw says what the pan truly received, within the uncertainty that the record itself states. */
export function expectTrue(record: RecordedBatch, ledger: Ledger): void {
  const wrong = record.draws.flatMap((draw) => {
    const truth = ledger.draws.get(draw.draw);
    if (!truth) return [`${draw.draw}: nothing is known of it`];
    const within = grams(draw.uncertainty_g);
    const off = (name: string, said: string | null, was: Mass, allowed: Mass) => {
      if (said === null) return [`${draw.draw} ${name}: none`];
      const by = minus(grams(said), was);
      return size(by) <= allowed
        ? []
        : [`${draw.draw} ${name}: ${said} said, ${was / 1e6} true, ${allowed / 1e6} allowed`];
    };
    // Two differences of readings each: the uncertainties of both (square root of the sum of squares). After an
    // over-pour the program knows the most that the pan came to rest at: what was taken out sooner it can't know.
    const offTaken = (said: string, was: Mass, straight: boolean) =>
      straight || grams(said) > was
        ? off('taken_g', said, was, mass(Math.ceil(within * Math.SQRT2)))
        : grams(said) >= grams(draw.net_g)
          ? []
          : [`${draw.draw} taken_g: ${said} said, less than its net ${draw.net_g}`];
    return [
      ...off('net_g', draw.net_g, truth.net, within),
      ...offTaken(draw.taken_g, truth.taken, draw.net_g === draw.taken_g),
      ...off('bowl_g', draw.bowl_g, truth.bowl, draw.way === 'cup' ? mass(Math.ceil(within * Math.SQRT2)) : within),
    ];
  });
  expect(wrong).toEqual([]);
}
