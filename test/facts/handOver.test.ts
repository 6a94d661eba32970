/** Phases of a batch at another bench: who owns them, what waits for them, and that each draw counts once. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { drawOf, stateOf } from '../../src/facts/apply.ts';
import { isArrival } from '../../src/facts/broughtIn.ts';
import { contentOf } from '../../src/facts/combine.ts';
import { isWaiting, whyNotHandOver } from '../../src/facts/handOver.ts';
import { checkFact, readFact } from '../../src/facts/readFact.ts';
import { nextTask } from '../../src/facts/wanted.ts';
import { type Mass, mass, minus, plus, sumOf, ZERO } from '../../src/mass/mass.ts';
import { planPart } from '../../src/plan/plan.ts';
import { batchRecord } from '../../src/records/record/batchRecord.ts';
import { rescueAtHold } from '../../src/rescue/atHold.ts';
import { movesOf } from '../../src/stock/moves.ts';
import { BATCH_DAY, demo, demoFormula, drawsOf, planOf } from '../plan/fixtures.ts';
import { aPart, bringing, otherFormula, otherPlan, otherShop, Told, WHOLE } from './twoBenches.ts';

const plan = planOf(demo, demoFormula);

const handing = (...phases: string[]) => ({ kind: 'handed-over', number: 1, phases, to: 'dye_room' }) as const;

function handedOver(...phases: string[]): Told {
  const told = new Told(WHOLE, plan);
  told.say(handing(...phases));
  return told;
}

describe('what may be handed over', () => {
  const { state } = new Told(WHOLE, plan);
  test.each<[string[], RegExp | undefined]>([
    [['C'], undefined],
    [['A'], undefined],
    [['A', 'B', 'C'], undefined],
    [['D'], /Phase C works with the Powders tub.* before phase D is done/],
    [['E'], /Phase D works with the Mixing bowl.* before phase E is done/],
    [['C', 'D'], /Phase B works with the Liquids beaker/],
    [['A', 'B', 'C', 'D', 'E'], undefined],
    [['X'], /no phase X\. There are: A, B, C, D, E/],
  ])('phases %j', (phases, why) => {
    const told = whyNotHandOver(state, phases);
    if (why) expect(told).toMatch(why);
    else expect(told).toBeUndefined();
  });

  test('not twice, not what was begun, not what is another bench’s own', () => {
    expect(whyNotHandOver(handedOver('C').state, ['C', 'A'])).toBe('Phase C is at dye_room already.');
    const begun = new Told(WHOLE, plan);
    begun.next();
    expect(whyNotHandOver(begun.state, ['A'])).toMatch(/Phase A has been begun here/);
    expect(whyNotHandOver(begun.state, ['C'])).toBeUndefined();
    expect(whyNotHandOver(aPart(['C']).state, ['C'])).toMatch(/only that bench hands phases over/);
    begun.say({ kind: 'abandoned', reason: 'no' });
    expect(whyNotHandOver(begun.state, ['C'])).toBe('The batch has ended.');
  });
});

describe('the part of the other bench', () => {
  test('has the same targets, and its own scales, lots and bands', () => {
    const part = otherPlan(['C']);
    const own = drawsOf(plan).filter(({ phase }) => phase === 'C');
    expect(drawsOf(part).map(({ id, target }) => [id, target])).toEqual(own.map(({ id, target }) => [id, target]));
    const [tapioca] = drawsOf(part);
    expect(tapioca).toMatchObject({ lot: 'TS-9', scale: 'bench' });
    expect(tapioca?.uncertainty).toBeGreaterThan(own[0]?.uncertainty ?? 0);
    expect(part).toMatchObject({ bars: null, bar: null, mass: sumOf(own.map(({ target }) => target)) });
    expect(checkFact({ kind: 'batch-started', plan: part, batch: 'x', seq: 1, at: stampOf(1), by: 'M' }).ok).toBe(true);
  });

  test('is refused by another formula, and where the bench can not weigh it', () => {
    const refusal = (result: ReturnType<typeof planPart>) =>
      result.ok ? '' : result.refusals.map(({ why }) => why).join(' ');
    const older = { ...otherFormula, version: '2' };
    expect(refusal(planPart(otherShop, older, plan, ['C'], BATCH_DAY))).toMatch(/version 2 here.* begun by version 3/);
    const phases = otherFormula.phases.map((phase) => {
      if (phase.id !== 'C') return phase;
      const [first, second, ...rest] = phase.work;
      if (first?.kind !== 'draw' || second?.kind !== 'draw') throw new Error('the demo has other powders now');
      return { ...phase, work: [{ ...first, share: second.share }, { ...second, share: first.share }, ...rest] };
    });
    expect(refusal(planPart(otherShop, { ...otherFormula, phases }, plan, ['C'], BATCH_DAY))).toMatch(
      /other amounts or vessels here/,
    );
    const empty = { ...otherShop, scales: new Map([...otherShop.scales].filter(([id]) => id === 'bench')) };
    expect(refusal(planPart(empty, otherFormula, plan, ['C'], BATCH_DAY))).toMatch(/Cornflower petals/);
  });
});

describe('one batch at two benches', () => {
  test('what needs nothing of it is done first; the rest waits, and nothing ends', () => {
    const told = handedOver('C');
    told.all();
    const done = told.weighed().map(({ draw }) => draw[0]);
    expect(new Set(done)).toEqual(new Set(['A', 'B', 'D']));
    expect(isWaiting(told.state)).toBe(true);
    expect(nextTask(told.state)).toBeUndefined();
    // The powders are tipped in before anything else goes into the bowl.
    expect(told.state.steps['D/1']).toBeUndefined();
    expect(told.state.plan.tasks.some((task) => told.state.draws[task.id]?.status === 'open')).toBe(true);
  });

  test('brought in, each draw is in the batch once, with its bench and scale named; stock counts it where it was weighed', () => {
    const told = handedOver('C');
    told.all();
    const part = aPart(['C']);
    part.all((low, high) => mass(Math.round((low + high) / 2) + 7));
    part.say({ kind: 'finished', zeroUnseen: ['C4'] });
    told.say(bringing(part));
    expect(isWaiting(told.state)).toBe(false);
    // The tub is weighed on this bench's scale when it comes.
    expect(nextTask(told.state)).toMatchObject({
      step: 'sum',
      vessel: 'powders-tub',
      say: expect.stringContaining('dye_room'),
    });
    told.all();
    told.say({ kind: 'finished' });
    const { facts } = told;
    for (const fact of facts) expect(readFact(JSON.stringify(fact))).toEqual({ ok: true, fact });
    expect(stateOf(facts)).toEqual(told.state);
    const record = batchRecord(facts, told.seal());
    const both = [...told.weighed(), ...part.weighed()];
    expect(record.draws.map(({ draw }) => draw).sort()).toEqual(both.map(({ draw }) => draw).sort());
    expect(record.totals.net).toBe(sumOf(both.map(({ net }) => net)));
    const tapioca = record.draws.find(({ draw }) => draw === 'C1');
    expect(tapioca).toMatchObject({ scale: 'dye_room/bench', lot: 'TS-9', net: part.weighed()[0]?.net });
    expect(record.otherBenches).toMatchObject([{ bench: 'dye_room', end: 'brought in', phases: ['C'] }]);
    // What the other bench left unseen is told here too.
    expect(record.draws.filter(({ zeroUnseen }) => zeroUnseen).map(({ draw }) => draw)).toEqual(['C4']);
    expect(record.deviations.filter((say) => /not weighed/.test(say))).toEqual([]);
    expect(contentOf(told.state, 'mixing-bowl')).toBe(record.totals.bowl);
    const lots = (of: readonly { ingredient: string; lot: string }[]) =>
      new Set(of.map(({ ingredient }) => ingredient));
    const [mine, theirs] = [lots(movesOf(facts)), lots(movesOf(part.facts))];
    expect([...mine].filter((each) => theirs.has(each))).toEqual([]);
    expect(mine.size + theirs.size).toBe(lots(both).size);
  });

  test('what comes over is known by the other scale’s uncertainty too, and its empty weight is not that scale’s', () => {
    const told = handedOver('C');
    const part = aPart(['C']);
    part.all();
    part.say({ kind: 'finished' });
    told.say(bringing(part));
    const tub = told.state.vessels['powders-tub'];
    expect(tub).toMatchObject({ load: part.state.vessels['powders-tub']?.load, empty: null });
    expect(tub?.doubt).toBeGreaterThanOrEqual(drawOf(part.state, 'C1')?.uncertainty ?? Number.NaN);
    expect(told.state.vessels['petal-dish']).toBeUndefined();
  });

  test('given up here with its vessel, all of it is open again, as this bench planned it', () => {
    const told = handedOver('C');
    const part = aPart(['C']);
    part.all();
    part.say({ kind: 'finished' });
    told.say(bringing(part));
    told.say({ kind: 'given-up', vessel: 'powders-tub', draws: ['C1', 'C2', 'C3', 'C4'], reason: 'it fell' });
    expect(drawOf(told.state, 'C1')).toMatchObject({ scale: 'bench', lot: 'TS-5' });
    expect(told.state.draws.C1).toMatchObject({ status: 'open', net: null });
    told.all();
    told.say({ kind: 'finished' });
    const record = batchRecord(told.facts, told.seal());
    expect(record.totals.bowl).toBe(contentOf(told.state, 'mixing-bowl'));
    expect(record.givenUp.map(({ draw, scale }) => [draw, scale])).toContainEqual(['C1', 'dye_room/bench']);
    expect(record.draws.filter(({ draw }) => draw === 'C1')).toMatchObject([{ scale: 'bench' }]);
    expect(record.otherBenches).toMatchObject([{ end: 'weighed again here' }]);
  });

  test('taken back, it is weighed here; and what was not out can neither be brought in nor taken back', () => {
    const told = handedOver('C');
    const part = aPart(['C']);
    part.all();
    told.say({ kind: 'calling-back', number: 1 });
    expect(isWaiting(told.state)).toBe(false);
    expect(told.state.handOvers).toMatchObject([{ stands: 'calling' }]);
    told.say({ kind: 'called-back', number: 1, reason: null });
    const before = told.state;
    told.say(bringing(part));
    expect(told.state).toEqual({ ...before, seq: before.seq + 1 });
    told.all();
    expect(told.weighed().map(({ draw }) => draw[0])).toContain('C');
    expect(nextTask(told.state)).toBeUndefined();
    expect(isWaiting(told.state)).toBe(false);
  });
});

test('a scale-up counts what was brought in as in, and tops it up here', () => {
  const told = handedOver('C');
  const part = aPart(['C']);
  part.all();
  part.say({ kind: 'finished' });
  told.say(bringing(part));
  // The phase that is over is the first whose draws come after the powders in the plan.
  while (nextTask(told.state)?.id !== 'D1.1') told.next();
  const draw = drawOf(told.state, 'D2');
  if (!draw) throw new Error('the demo has another phase D now');
  while (nextTask(told.state)?.id !== 'D2') told.next();
  const load = told.state.vessels['mixing-bowl']?.load ?? ZERO;
  told.say({ kind: 'placed', draw: 'D2', vessel: 'mixing-bowl', scale: 'bench', load, zero: ZERO, unusual: false });
  const net = mass(Math.round(draw.target * 1.1));
  const held = { draw: 'D2', net };
  const rescue = rescueAtHold({
    workshop: demo,
    formula: demoFormula,
    state: told.state,
    held,
    facts: told.facts,
    today: BATCH_DAY,
  });
  const [offer] = rescue.offers;
  if (!offer) throw new Error(rescue.refused.map(({ say }) => say).join(' '));
  const topUps = offer.topUps.map((each) => each.draw);
  expect(topUps.some((id) => id.startsWith('C1'))).toBe(true);
  expect(offer.topUps.every(({ scale }) => scale === 'bench' || scale === 'fine')).toBe(true);
  told.say({ kind: 'rescued', draw: 'D2', meant: offer.meant, from: offer.from, plan: offer.plan, topUps, say: '' });
  for (const fact of told.facts) expect(readFact(JSON.stringify(fact)).ok).toBe(true);
  // What came over once does not come over again with the top-ups.
  expect(offer.plan.tasks.filter((task) => task.kind === 'step' && isArrival(task))).toHaveLength(1);
  told.all();
  told.say({ kind: 'finished' });
  const record = batchRecord(told.facts, told.seal());
  const tapioca = record.draws.filter(({ ingredient }) => ingredient === 'tapioca-starch');
  expect(tapioca.map(({ scale }) => scale).sort()).toEqual(['bench', 'dye_room/bench']);
  expect(record.totals.bowl).toBe(contentOf(told.state, 'mixing-bowl'));
});

test('whatever is handed over, and whenever it comes back: the batch is the sum of what was weighed at both', () => {
  const some = fc.subarray(['A', 'B', 'C'], { minLength: 1 });
  fc.assert(
    fc.property(
      some,
      fc.nat(12),
      fc.nat(40),
      fc.infiniteStream(fc.double({ min: 0, max: 1, noNaN: true })),
      (phases, before, after, chance) => {
        const off = (low: Mass, high: Mass) => mass(Math.round(low + (chance.next().value as number) * (high - low)));
        const told = new Told(WHOLE, plan);
        for (let at = 0; at < before; at += 1) told.next(off);
        if (whyNotHandOver(told.state, phases) !== undefined) return;
        told.say(handing(...phases));
        for (let at = 0; at < after; at += 1) told.next(off);
        const part = aPart(phases);
        part.all(off);
        part.say({ kind: 'finished' });
        told.say(bringing(part));
        told.all(off);
        told.say({ kind: 'finished' });
        const record = batchRecord(told.facts, told.seal());
        const both = [...told.weighed(), ...part.weighed()];
        expect(both.map(({ draw }) => draw).sort()).toEqual(
          drawsOf(plan)
            .map(({ id }) => id)
            .sort(),
        );
        const residues = [...told.facts, ...part.facts].flatMap((fact) =>
          fact.kind === 'tipped' ? [fact.residue] : [],
        );
        const net = sumOf(both.map((each) => each.net));
        expect(record.totals.net).toBe(net);
        expect(contentOf(told.state, 'mixing-bowl')).toBe(minus(net, sumOf(residues)));
        const used = [...movesOf(told.facts), ...movesOf(part.facts)].map((move) => move.used);
        expect(sumOf(used)).toBe(plus(record.totals.taken, ZERO));
      },
    ),
    { numRuns: 40 },
  );
});

function stampOf(seq: number): string {
  return `${BATCH_DAY}T10:00:00.${String(seq).padStart(3, '0')}+01:00`;
}
