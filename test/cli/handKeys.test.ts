/** The demo by hand, in virtual time: a whole batch by nothing but the hand's keys, which the foot of the screen names. */
import { expect, test } from 'vitest';
import { follow } from '../../src/cli/demo/demo.ts';
import { createHandKeys } from '../../src/cli/demo/handKeys.ts';
import { handWords } from '../../src/cli/demo/handWords.ts';
import { createMadeUpBench } from '../../src/cli/demo/madeUpBench.ts';
import { createPacedClock } from '../../src/cli/demo/pacedClock.ts';
import { runWorkbench } from '../../src/cli/weigh/workbench.ts';
import { planned } from '../../src/facts/apply.ts';
import type { Fact, FactLog } from '../../src/facts/fact.ts';
import { findProfile } from '../../src/link/findProfile.ts';
import { minus } from '../../src/mass/mass.ts';
import { contentOf } from '../../src/simulate/holder.ts';
import { drawNow, netNow, residueNow, standing, stepNow, wantedNow } from '../../src/weighing/look.ts';
import type { Station } from '../../src/weighing/station.ts';
import { movesContentNow } from '../../src/weighing/stepPans.ts';
import { demo, demoFormula, drawsOf, planOf } from '../plan/fixtures.ts';
import { BATCH, sealed } from '../weighing/samplePlan.ts';

async function demoProfiles() {
  const ids = [...new Set([...demo.scales.values()].flatMap(({ profile }) => profile ?? []))];
  const folder = new URL('../../devices', import.meta.url).pathname;
  const found = await Promise.all(ids.map(async (id) => [id, await findProfile(id, [folder])] as const));
  return new Map(found.flatMap(([id, each]) => (each.ok ? [[id, each.profile] as const] : [])));
}

/** The keys that a maker presses next, each with the time that she waits after it, milliseconds. */
function keysNow(station: Station): readonly (readonly [key: string, ms: number])[] {
  const snapshot = station.snapshot();
  const scene = snapshot.context;
  const putBack = [
    ['down', 5000],
    ['up', 7000],
  ] as const;
  if (snapshot.matches('summing') || movesContentNow(scene)) return putBack;
  if (snapshot.matches({ step: 'running' })) return [['', 1000]];
  if (snapshot.matches({ step: 'ready' }) && stepNow(scene)?.forMs !== null) return [['down', 5000]];
  if (snapshot.matches({ step: 'ready' }) || snapshot.matches({ step: 'rung' })) return putBack;
  if (snapshot.matches('lastLook')) return [['down', 5000]];
  if (snapshot.matches('placing')) return standing(scene) === 'unsure' ? putBack : [['up', 3500]];
  if (snapshot.matches('tipping')) return residueNow(scene) === null ? putBack : [['', 1000]];
  if (snapshot.matches('hold')) return [['left', 1500]];
  const net = netNow(scene);
  const band = wantedNow(scene);
  if (!snapshot.matches({ pouring: 'under' }) || net === null || band === null) return [['', 500]];
  return [[minus(band.target, net) > 0.12 * band.target ? 'space' : 'right', 1800]];
}

test('a batch to its end by the keys of the hand alone; each vessel is emptied once', async () => {
  const clock = createPacedClock();
  const plan = planOf(demo, demoFormula);
  // A scale that falls asleep meanwhile is a matter of other tests.
  const scales = new Map([...demo.scales].map(([id, scale]) => [id, { ...scale, sleepsAfterMs: undefined }] as const));
  const bench = createMadeUpBench({ workshop: { ...demo, scales }, profiles: await demoProfiles(), clock, seed: 11 });
  const handKeys = createHandKeys(bench, clock);
  const facts: Fact[] = [...sealed([{ kind: 'batch-started', plan }])];
  const log: FactLog = {
    async append(_, __, happened) {
      const written = sealed(happened, facts.length);
      facts.push(...written);
      return written;
    },
  };
  const feet = new Set<string>();
  await bench.start();
  const run = runWorkbench({
    batch: { ...planned(BATCH, plan), seq: 1 },
    scales: bench.scales,
    log,
    by: 'Someone',
    clock,
    openFront: ({ station, leave }) => ({
      changed() {
        feet.add(handWords(station.snapshot()));
        if (station.snapshot().status === 'done') leave();
      },
      live() {},
      facts(written) {
        for (const fact of written) follow(fact, station.snapshot().context.batch.plan, bench, handKeys);
      },
      async close() {},
    }),
    alongside: (station) => {
      let over = false;
      const pause = (ms: number) => new Promise<void>((resolve) => clock.setTimeout(resolve, ms));
      const press = async (): Promise<void> => {
        station.answer({ type: 'answer.yes' });
        while (!over && station.snapshot().status !== 'done') {
          for (const [key, ms] of keysNow(station)) {
            if (key !== '')
              expect(handKeys.press(key, station), `${key} while ${drawNow(station.snapshot().context)?.name}`).toBe(
                true,
              );
            await pause(ms);
          }
        }
      };
      void press();
      return () => {
        over = true;
      };
    },
  });
  const { ended } = await clock.run(run, Number.POSITIVE_INFINITY);
  await bench.stop();
  expect(ended).toBe('finished');
  for (const foot of feet) expect(foot.length, foot).toBeLessThanOrEqual(78);
  expect(facts.filter(({ kind }) => kind === 'weighed').length).toBeGreaterThanOrEqual(drawsOf(plan).length);
  // All but what stuck and what was spilt has come into the bowl.
  const inBowl = contentOf(bench.world.vessel('mixing-bowl'));
  expect(inBowl / plan.mass).toBeGreaterThan(0.97);
  expect(inBowl / plan.mass).toBeLessThan(1.02);
  const sticks = facts.flatMap((fact) => (fact.kind === 'step-done' && fact.weighedBack ? [fact.weighedBack] : []));
  expect(sticks.length).toBeGreaterThan(0);
  for (const { vessel, residue, uncertainty } of sticks) {
    expect(residue, vessel).toBeLessThan(0.05 * plan.mass + uncertainty);
  }
}, 60_000);
