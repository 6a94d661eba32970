/**
 * Each trouble that a scale can make, in the middle of a draw, in all three ways, on real serial lines: what is
 * recorded is what the pan truly received, within the uncertainty that the record states.
 */
import { describe, expect, it } from 'vitest';
import type { Fact } from '../../src/facts/fact.ts';
import { type Mass, mass, minus, plus, size } from '../../src/mass/mass.ts';
import { hasSocat } from '../pairs.ts';
import { setUpHealthBench } from './healthBench.ts';
import type { HealthCase } from './healthCase.ts';
import { HEALTH_CASES } from './healthCases.ts';
import type { Way } from './healthFormula.ts';
import { HealthMaker } from './healthMaker.ts';
import type { Ledger } from './ledger.ts';

const why = hasSocat ? '' : ' (skipped: "socat" is not installed, so there is no pseudo-terminal pair)';
const WAYS: readonly Way[] = ['add', 'cup', 'subtract'];
const WITHIN_MS = 90_000;

/** By how much a draw was marked doubtful. */
function doubtOf(draw: string, facts: readonly Fact[]): Mass {
  const shifts = facts.flatMap((fact) => (fact.kind === 'zero-shifted' && fact.draws.includes(draw) ? [fact] : []));
  return mass(Math.max(0, ...shifts.map(({ shift }) => size(shift))));
}

/** What the facts say of each weight beside the truth; empty when all is right. */
function wrongWeights(facts: readonly Fact[], ledger: Ledger, marks: boolean): string[] {
  return facts.flatMap((fact) => {
    if (fact.kind !== 'weighed' && fact.kind !== 'tipped') return [];
    const truth = ledger.draws.get(fact.draw);
    const weighed = facts.findLast((each) => each.kind === 'weighed' && each.draw === fact.draw);
    if (!truth || weighed?.kind !== 'weighed') return [`${fact.draw}: nothing is known of it`];
    const { net, uncertainty } = weighed;
    // What reached the bowl is the difference of two weighings, so its uncertainty is that of both.
    const [said, was, sure] =
      fact.kind === 'weighed'
        ? [net, truth.net, uncertainty]
        : [minus(net, fact.residue), truth.bowl, mass(Math.ceil(uncertainty * Math.SQRT2))];
    const within = marks ? plus(sure, doubtOf(fact.draw, facts)) : sure;
    return size(minus(said, was)) <= within
      ? []
      : [`${fact.draw} ${fact.kind}: ${said} said, ${was} true, ${within} allowed`];
  });
}

async function weigh(way: Way, healthCase: HealthCase): Promise<void> {
  const { tells, prepare, marks = false, ...options } = healthCase;
  const maker = new HealthMaker(healthCase);
  const rig = await setUpHealthBench({ way, ...options }, { onChange: maker.listen });
  try {
    prepare?.(rig);
    rig.station.start();
    await maker.work(rig, WITHIN_MS);
  } finally {
    await rig.stop();
  }
  const { facts, ledger } = rig;
  const heard = `heard:\n${maker.heard.join('\n')}\n`;
  expect(maker.struck, heard).toBe(true);
  expect(wrongWeights(facts, ledger, marks), heard).toEqual([]);
  expect(doubtOf('A1', facts) > 0, heard).toBe(marks);
  expect(facts.at(-1)?.kind, heard).toBe('finished');
  expect(maker.heardSince).toContainEqual(expect.stringMatching(tells));
}

describe.skipIf(!hasSocat)(`a scale in trouble in the middle of a draw${why}`, { timeout: 120_000 }, () => {
  for (const way of WAYS) {
    for (const each of HEALTH_CASES) it.concurrent(`${way}: ${each.name}`, () => weigh(way, each));
  }
});
