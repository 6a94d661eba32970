/** What must hold in every state of the weighing chart and at every step from one to the next, whatever happens. */
import { expect } from 'vitest';
import { judge } from '../../src/accept/band.ts';
import { isExpected, sameAsBefore } from '../../src/accept/standing.ts';
import { apply, drawOf, planned } from '../../src/facts/apply.ts';
import type { Fact, Happened } from '../../src/facts/fact.ts';
import { handOverOf, isElsewhere } from '../../src/facts/handOver.ts';
import { isDone } from '../../src/facts/isDone.ts';
import { type Mass, minus, plus, ZERO } from '../../src/mass/mass.ts';
import type { Plan } from '../../src/plan/model.ts';
import { jarNow } from '../../src/weighing/jarNow.ts';
import { drawNow, panNow, panOf, scaleOf, standing, verdictNow, wantedNow } from '../../src/weighing/look.ts';
import { isUntrusted } from '../../src/weighing/pans.ts';
import { rescueNow } from '../../src/weighing/rescueNow.ts';
import { backNow, isInHand, isTapped, NO_STEP_SEEN } from '../../src/weighing/stepPans.ts';
import { sumNow } from '../../src/weighing/sumNow.ts';
import { undoableNow } from '../../src/weighing/undoing.ts';
import { scaleToLookAt } from '../../src/weighing/unseenNow.ts';
import { type Snapshot, stateName } from './chartRig.ts';
import { BATCH } from './samplePlan.ts';

/** What happens, with what it brings along. */
export interface Told {
  readonly type: string;
  readonly reason?: string;
}

/** States in which nothing at all is decided unless the maker answers. */
const AT_REST = ['gathering', 'givingUp', 'paused', 'abandoning', 'logFailed', 'ended'];

/** The rules of one step: `before`, then `event`, gave `after`. Most steps decide nothing: those must cost little. */
export function checkStep(before: Snapshot, event: Told, after: Snapshot): void {
  const at = () => `${stateName(before)} --${event.type}--> ${stateName(after)}`;
  if (after.status === 'error') expect.fail(`${at()}: the chart broke`);
  if (after.context.batch !== before.context.batch) checkOneDraw(after, at());

  if (event.type === 'fact.noted') {
    // It is written already, and changes nothing of what is to be done.
    const { draws, steps, vessels } = before.context.batch;
    expect(after.context.batch, at()).toMatchObject({ draws, steps, vessels, takenOut: null });
    expect([stateName(after), after.context.pending], at()).toEqual([stateName(before), before.context.pending]);
    return;
  }

  if (before.value === 'recording') {
    if (after.value === 'recording' || event.type.startsWith('xstate.done')) return;
    // What is being written does not change, and counts only once it is written.
    if (after.context.pending !== before.context.pending) expect.fail(`${at()}: what is being written changes`);
    if (after.context.batch !== before.context.batch) expect.fail(`${at()}: counted before it is written`);
    return;
  }
  if (after.matches('pouring') && !panNow(after.context).doubted && standing(after.context) === 'right') {
    if (verdictNow(after.context) === 'over') expect.fail(`${at()}: too much rests there, and it pours on`);
  }
  const { batch } = after.context;
  if (batch !== before.context.batch) expect.fail(`${at()}: the batch changes by written facts alone`);
  if (after.value === 'elsewhere' && batch.plan.tasks.every((task) => isDone(batch, task)))
    expect.fail(`${at()}: nothing is left, and it waits`);
  const now = drawNow(after.context);
  if (now && isElsewhere(batch, now)) expect.fail(`${at()}: ${now.id} is another bench's`);
  const decided = after.value === 'recording' && after.context.pending !== before.context.pending;
  if (!decided) return;
  const isSeen = after.context.pending.every(({ kind }) => kind === 'zero-shifted');
  const isAnswer = event.type.startsWith('answer.');
  if (!isAnswer && !isSeen) expect(AT_REST, `${at()}: decided without an answer`).not.toContain(stateName(before));
  for (const happened of after.context.pending) checkDecision(before, event, after, happened, at());
}

/** At most one draw has its vessel on a pan and is not done. */
function checkOneDraw({ context: { batch } }: Snapshot, at: string): void {
  const begun = Object.entries(batch.draws).filter(([, { base, status }]) => base !== null && status !== 'done');
  expect(begun.length, `${at}: two draws at once: ${begun.map(([id]) => id)}`).toBeLessThanOrEqual(1);
}

function checkDecision(before: Snapshot, event: Told, after: Snapshot, happened: Happened, at: string): void {
  const isNamed = event.type.startsWith('answer.');
  switch (happened.kind) {
    case 'weighed': {
      if (before.matches('witnessing')) {
        // It was decided on before, and looked at by somebody else since.
        expect([event.type, happened.witness !== undefined], at).toEqual(['answer.witness', true]);
        expect(happened.witness, at).not.toBe(after.context.by);
        return;
      }
      const { net, low, high, deviation, lotEnded, draw } = happened;
      const pan = panOf(after.context, happened.scale);
      expect(pan.state, `${at}: weighed on a pan that is not at rest`).toBe('settled');
      expect(pan.zeroKnown, `${at}: weighed from a zero that is not known`).toBe(true);
      expect(pan.doubted, `${at}: weighed by a display that is not believed`).toBe(false);
      expect(wantedNow(after.context), at).toEqual({ target: happened.target, low, high });
      if (!isNamed) expect(pan.dwelt, `${at}: accepted before it has dwelt`).toBe(true);
      if (!isNamed) expect(pan.unheard, `${at}: accepted while a pour may go on unheard`).toBe(false);
      if (before.hasTag('hold')) expect(isNamed, `${at}: weighed out of a hold by itself`).toBe(true);
      if (deviation !== null) expect([event.type, deviation.reason], at).toEqual(['answer.keep', event.reason]);
      const planned = drawOf(after.context.batch, draw);
      const isBagEnd =
        lotEnded && event.type === 'answer.lot-ended' && (planned?.part?.index ?? 1) < (planned?.part?.of ?? 1);
      const verdict = judge(net, happened);
      if (verdict === 'over') expect(deviation?.kind, `${at}: over the band by no decision`).toBe('over');
      const isSplit = after.context.pending.some((each) => each.kind === 'split');
      if (verdict === 'under' && !isBagEnd && !isSplit)
        expect(deviation?.kind, `${at}: under the band by no decision`).toBe('under');
      if (verdict === 'over') expect(planned?.over, `${at}: kept over though it may never be`).not.toBe('never');
      return;
    }
    case 'tipped': {
      const pan = panOf(after.context, drawOf(after.context.batch, happened.draw)?.scale ?? '');
      expect([pan.zeroKnown, pan.doubted], `${at}: tipped by what is not known`).toEqual([true, false]);
      if (before.hasTag('hold')) expect(isNamed, `${at}: tipped out of a hold by itself`).toBe(true);
      if (happened.deviation !== null) expect(event, at).toMatchObject({ type: 'answer.keep' });
      return;
    }
    case 'placed': {
      const pan = panOf(after.context, happened.scale);
      expect(pan.doubted, `${at}: placed by a display that is not believed`).toBe(false);
      if (!isNamed)
        expect(pan.dwelt || happened.load === pan.first, `${at}: begun from a weight that may still creep`).toBe(true);
      if (happened.unusual) expect(event.type, `${at}: an odd vessel by no decision`).toBe('answer.yes');
      return;
    }
    case 'rescued': {
      expect([before.matches('hold'), event.type], `${at}: scaled up without a yes`).toEqual([true, 'answer.rescue']);
      const pan = panNow(after.context);
      expect([pan.state, pan.zeroKnown, pan.doubted], at).toEqual(['settled', true, false]);
      expect(verdictNow(after.context), `${at}: nothing is too much`).toBe('over');
      const offered = rescueNow(before.context)?.offers.map(({ plan }) => plan);
      expect(offered, `${at}: not what was offered for this weight`).toContain(happened.plan);
      expect(happened.draw, at).toBe(drawNow(after.context)?.id);
      return;
    }
    case 'zero-shifted':
      for (const id of happened.draws) {
        const draw = before.context.batch.draws[id];
        expect([draw?.net != null, draw?.doubt], `${at}: doubts what is not weighed, or twice`).toEqual([true, null]);
      }
      return;
    case 'discarded':
    case 'given-up':
    case 'abandoned':
      expect([stateName(before), event.type], `${at}: thrown away without being asked twice`).toEqual([
        happened.kind === 'abandoned' ? 'abandoning' : 'givingUp',
        'answer.yes',
      ]);
      return;
    case 'scale-lost':
      expect(isUntrusted(panOf(after.context, happened.scale)), at).toBe(true);
      return;
    case 'scale-back':
      expect(isUntrusted(panOf(after.context, happened.scale)), at).toBe(false);
      return;
    case 'step-begun':
      if (isNamed) return;
      if (happened.how === 'tapped') expect(isTapped(after.context), at).toBe(true);
      else expect(isInHand(after.context), `${at}: the clock starts though the vessel stands there`).toBe(true);
      return;
    case 'step-done': {
      if (isNamed || happened.how === 'tapped') return;
      const back = backNow(after.context);
      expect(back && after.context.pans[back.scale]?.dwelt, `${at}: done before anything was put on`).toBe(true);
      return;
    }
    case 'jar-weighed':
      expect(jarNow(after.context)?.dwelt, `${at}: a jar weighed while it moves`).toBe(true);
      if (happened.reason === null) expect(jarNow(after.context)?.isRight, at).toBe(true);
      else expect(event, at).toMatchObject({ type: 'answer.keep', reason: happened.reason });
      return;
    case 'sum-checked':
      expect(sumNow(after.context)?.dwelt, `${at}: summed up while it moves`).toBe(true);
      if (happened.reason === null) expect(sumNow(after.context)?.isRight, at).toBe(true);
      else expect(event, at).toMatchObject({ type: 'answer.keep', reason: happened.reason });
      return;
    case 'undone':
      expect(undoableNow(after.context)?.seq, at).toBe(happened.corrects);
      if (happened.how === 'key') expect(event.type, at).toBe('answer.undo');
      return;
    case 'brought-in': {
      const handOver = handOverOf(before.context.batch, happened.number);
      expect([stateName(before), event.type, handOver?.stands], at).toEqual(['elsewhere', 'part.done', 'out']);
      return;
    }
    case 'finished': {
      const isLooked = scaleToLookAt(after.context) === undefined;
      if (!isLooked)
        expect([stateName(before), event.type], `${at}: ends without the last look`).toEqual([
          'lastLook',
          'answer.yes',
        ]);
      const { unseen } = after.context.batch;
      const told = [...(happened.zeroSeen ?? []), ...(happened.zeroUnseen ?? [])];
      expect([...told].sort(), `${at}: a draw passes as looked after`).toEqual([...unseen].sort());
      return;
    }
    case 'gathered':
      expect(event.type, at).toBe('answer.yes');
  }
}

/** A whole batch's facts add up: each weighing begins where its vessel was left, and a vessel holds what it was given. */
export function checkSums(plan: Plan, facts: readonly Fact[]): void {
  let state = planned(BATCH, plan);
  const firstLoads = new Map<string, Mass>();
  const given = new Map<string, Mass>();
  const add = (vessel: string, amount: Mass) => given.set(vessel, plus(given.get(vessel) ?? ZERO, amount));
  let saved = { firstLoads: new Map(firstLoads), given: new Map(given) };
  const restore = <T>(map: Map<string, T>, from: ReadonlyMap<string, T>) => {
    map.clear();
    for (const [id, value] of from) map.set(id, value);
  };
  const empty = (vessel: string) => firstLoads.delete(vessel) && given.delete(vessel);
  for (const fact of facts) {
    const draw = 'draw' in fact && fact.draw !== null ? drawOf(state, fact.draw) : undefined;
    const known = draw && state.draws[draw.id];
    if (['weighed', 'tipped', 'step-done'].includes(fact.kind)) {
      saved = { firstLoads: new Map(firstLoads), given: new Map(given) };
    }
    switch (fact.kind) {
      case 'undone':
        restore(firstLoads, saved.firstLoads);
        restore(given, saved.given);
        break;
      case 'placed': {
        const before = state.vessels[fact.vessel];
        if (before?.certain && !fact.unusual && draw?.way !== 'cup') {
          const same = sameAsBefore(
            before.load,
            scaleOf({ batch: state, pans: {}, loadsAtStart: {}, stepSeen: NO_STEP_SEEN }, fact.scale),
          );
          expect(isExpected(fact.load, same), `${fact.vessel} came back otherwise than it was left`).toBe(true);
        }
        firstLoads.set(fact.vessel, fact.load);
        given.set(fact.vessel, ZERO);
        break;
      }
      case 'weighed':
        expect(known?.status, `${fact.draw} weighed twice`).toBe('open');
        expect(fact.before, `${fact.draw} begins where its vessel was placed`).toBe(known?.base);
        expect(fact.net).toBe(
          fact.way === 'subtract' ? minus(fact.before, fact.after) : minus(fact.after, fact.before),
        );
        if (draw) add(draw.on, fact.way === 'subtract' ? minus(ZERO, fact.net) : fact.net);
        if (draw && fact.way === 'subtract') add(draw.vessel, fact.net);
        break;
      case 'tipped':
        expect(known?.status, `${fact.draw} tipped but not weighed`).toBe('weighed');
        if (draw) add(draw.on, minus(fact.residue, known?.net ?? ZERO));
        if (draw) add(draw.vessel, minus(known?.net ?? ZERO, fact.residue));
        break;
      case 'discarded':
        if (draw?.way === 'cup') empty(draw.on);
        else if (draw?.way === 'subtract') add(draw.on, minus(ZERO, fact.amount));
        break;
      case 'sum-checked':
        firstLoads.set(fact.vessel, fact.found);
        given.set(fact.vessel, ZERO);
        break;
      case 'given-up':
        empty(fact.vessel);
        break;
    }
    state = apply(state, fact);
    for (const [id, vessel] of Object.entries(state.vessels)) {
      const first = firstLoads.get(id);
      if (first === undefined || !vessel.certain) continue;
      expect(vessel.load, `what is in ${id} after ${fact.kind} #${fact.seq}`).toBe(plus(first, given.get(id) ?? ZERO));
    }
  }
}
