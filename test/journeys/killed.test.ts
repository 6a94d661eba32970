/**
 * The program is killed with SIGKILL again and again while a batch is weighed, at random moments and in the middle of
 * writes. Nothing that was accepted may be lost or doubled, and the batch must end with what the pans truly received.
 * The short form of `npm run crash`: KILLS in all, FORMULA `cornflower-oat-bar` for the demo's, SEED for other moments.
 */
import { expect } from 'vitest';
import { mass } from '../../src/mass/mass.ts';
import { seededRandom } from '../../src/simulate/seededRandom.ts';
import { journey, THREE_WAYS } from './journey.ts';
import { run } from './run.ts';
import { expectTrue, recordOf } from './trueRecord.ts';
import { weighUnderKills } from './underKills.ts';

const KILLS = Number(process.env.KILLS ?? 5);
const SEED = Number(process.env.SEED ?? 20_261_130);
const WHOLE = process.env.FORMULA === 'cornflower-oat-bar';

journey(
  `killed up to ${KILLS} times (SEED=${SEED})`,
  async (at) => {
    const { bench, ledger, maker } = at;
    for (const [ingredient, slip] of [
      ['glycerin', 3_000_000],
      ['blue-dye', 80_000],
    ] as const) {
      maker.slips.set(ingredient, mass(slip));
    }
    maker.touchesNoKey = true;
    const formula = WHOLE ? 'cornflower-oat-bar' : 'trial';
    const killed = await weighUnderKills(at, formula, KILLS, seededRandom(SEED));
    console.log(`killed ${killed.kills} times, ${killed.atWrites} of them at a write`);
    expect(killed.kills).toBeGreaterThan(0);

    const facts = bench.facts();
    expect(facts.map(({ seq }) => seq)).toEqual(facts.map((_, index) => index + 1));
    const accepted = facts.flatMap((fact) => (fact.kind === 'weighed' ? [fact.draw] : []));
    expect(new Set(accepted).size, 'no draw is accepted twice').toBe(accepted.length);
    const record = await recordOf(bench);
    expect(record.status).toBe('finished');
    try {
      expectTrue(record, ledger);
    } catch (error) {
      // What happened around a wrong draw is what is needed first.
      const story = facts.map((fact) =>
        [
          fact.seq,
          fact.at.slice(11, 23),
          fact.kind,
          'draw' in fact ? fact.draw : '',
          fact.kind === 'placed' ? fact.load / 1e6 : fact.kind === 'weighed' ? fact.net / 1e6 : '',
        ].join(' '),
      );
      console.log(story.filter((line) => !line.includes('scales-stand')).join('\n'));
      throw error;
    }
    expect((await run(['verify', '--in', bench.folder])).code).toBe(0);
  },
  { timeout: WHOLE ? 1_200_000 : 120_000, ...(WHOLE ? {} : { formula: THREE_WAYS }) },
);
