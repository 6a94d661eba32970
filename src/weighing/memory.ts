/** How what the chart carries with it changes: what it has seen on the pans, and what was written. Pure. */
import { apply } from '../facts/apply.ts';
import type { Fact, Happened } from '../facts/fact.ts';
import { lesser, ZERO } from '../mass/mass.ts';
import type { Happening } from '../signal/happening.ts';
import type { WeighingContext } from './context.ts';
import { drawNow } from './look.ts';
import { farther, loadsOf, notePan, type Pan, type Pans, UNKNOWN_PAN } from './pans.ts';
import type { RescueSeen } from './rescueNow.ts';
import { NO_STEP_SEEN, noteCleared } from './stepPans.ts';

/** After something happened on a pan. */
export function panNoted(context: WeighingContext, happening: Happening): Partial<WeighingContext> {
  const isEmptied = happening.kind === 'emptied';
  const pans = notePan(context.pans, happening);
  // A scale that speaks only on change has said nothing before something came on: its pan counts as empty until then.
  const first = happening.scale in context.pans ? {} : { [happening.scale]: ZERO };
  const stood = (context.pans[happening.scale]?.load ?? ZERO) > 0;
  return {
    pans,
    loadsAtStart: { ...loadsOf(pans), ...first, ...context.loadsAtStart },
    stepSeen: isEmptied ? noteCleared(context.stepSeen, happening.scale, stood) : context.stepSeen,
    undoCleared: isEmptied ? [...new Set([...context.undoCleared, happening.scale])] : context.undoCleared,
  };
}

/** After a write failed: a weight that waits for it stands on its pan as if accepted, for a moved zero touches it too. */
export function failureNoted(context: WeighingContext, error: unknown): Partial<WeighingContext> {
  const { pans, pending } = context;
  const waiting = context.failure === null ? pending.filter((each) => each.kind === 'weighed') : [];
  return { failure: error instanceof Error ? error.message : String(error), pans: waiting.reduce(weighedOn, pans) };
}

function weighedOn(pans: Pans, { scale, draw, uncertainty, before, after }: Happened & { kind: 'weighed' }): Pans {
  const pan = pans[scale] ?? UNKNOWN_PAN;
  const here = { draw, uncertainty, stood: lesser(before, after) };
  return { ...pans, [scale]: { ...pan, weighed: [...pan.weighed, here] } };
}

/**
 * Remembers what stands on all pans when a draw comes up. Its vessel is waited for more than once (it is recognised,
 * lifted, put back): what was seen at first stays, or a pan that just trembles would hide what is put on it.
 */
export function lookingFor(context: WeighingContext): Partial<WeighingContext> {
  const draw = drawNow(context)?.id ?? null;
  const seen = draw === context.lookingFor ? context.loadsAtStart : {};
  const { pans } = context;
  return { lookingFor: draw, loadsAtStart: { ...loadsOf(pans), ...seen }, pans: firstFromNow(pans) };
}

/** What went in before this draw came up belongs to the one before. */
function firstFromNow(pans: Pans): Pans {
  const anew = ({ first, load, ...pan }: Pan): Pan => ({ ...pan, load, first: first === null ? null : load });
  return Object.fromEntries(Object.entries(pans).map(([id, pan]) => [id, anew(pan)]));
}

/** The pans, where what is given up is still in a vessel that stands on one. */
export function pansToEmpty(context: WeighingContext): Pans {
  const draw = drawNow(context);
  const isThrown = context.pending.some((each) => each.kind === 'discarded' || each.kind === 'given-up');
  if (!isThrown) return context.pans;
  // What came from another bench may stand on any of them.
  const marked = Object.entries(context.pans).map(([scale, pan]) => {
    const isFree = pan.state === 'empty' || pan.state === 'unknown';
    return [scale, isFree || (draw && draw.scale !== scale) ? pan : { ...pan, toEmpty: true }] as const;
  });
  return Object.fromEntries(marked);
}

/** A scale that was away for a moment changes nothing about what can be done. */
function isAside({ kind }: Fact): boolean {
  return kind === 'scale-lost' || kind === 'scale-back';
}

/** What was being worked out when the hold was left is asked for anew. */
function foundOnly(rescue: RescueSeen | null): RescueSeen | null {
  return rescue?.found ? rescue : null;
}

/** After facts are on the disk. */
export function factsApplied(context: WeighingContext, facts: readonly Fact[]): Partial<WeighingContext> {
  const justUndone = facts.some(({ kind }) => kind === 'undone');
  return {
    batch: facts.reduce(apply, context.batch),
    pans: facts.reduce(
      (pans, fact) => remembered(withoutSeen(pans, fact), fact, context.failure !== null),
      context.pans,
    ),
    pending: [],
    failure: null,
    rescue: facts.every(isAside) ? foundOnly(context.rescue) : null,
    justUndone: justUndone || context.justUndone,
    stepSeen: justUndone ? NO_STEP_SEEN : context.stepSeen,
  };
}

/**
 * What a pan must remember of a fact until it is read empty, or what it need not any longer.
 * @param waited it could not be written at first, and a weight was remembered then
 */
function remembered(pans: Pans, fact: Fact, waited: boolean): Pans {
  switch (fact.kind) {
    case 'placed':
      return { ...pans, [fact.scale]: { ...(pans[fact.scale] ?? UNKNOWN_PAN), begun: true, provedByVessel: false } };
    case 'weighed': {
      const pan = pans[fact.scale] ?? UNKNOWN_PAN;
      const accepted = { draw: fact.draw, zeroShift: pan.zeroShift };
      const noted = { ...pans, [fact.scale]: { ...pan, begun: false, accepted } };
      return waited ? noted : weighedOn(noted, fact);
    }
    case 'zero-shifted': {
      const pan = pans[fact.scale] ?? UNKNOWN_PAN;
      return { ...pans, [fact.scale]: { ...pan, shifts: pan.shifts.slice(1) } };
    }
    case 'discarded':
      return withoutDraws(pans, [fact.draw]);
    case 'undone':
      return fact.of === 'weighed' ? begunAgain(withoutDraws(pans, [fact.id]), fact.id) : pans;
    case 'given-up':
      return withoutDraws(pans, fact.draws);
    default:
      return pans;
  }
}

/** What the log knows by now to have been seen. */
function withoutSeen(pans: Pans, { zeroSeen }: Fact): Pans {
  if (zeroSeen === undefined) return pans;
  const kept = (pan: Pan): Pan => ({ ...pan, seen: pan.seen.filter((draw) => !zeroSeen.includes(draw)) });
  return Object.fromEntries(Object.entries(pans).map(([id, pan]) => [id, kept(pan)]));
}

/** A draw whose weight was taken back goes on from where it began: the zero may have moved all that time. */
function begunAgain(pans: Pans, draw: string): Pans {
  const again = (pan: Pan): Pan =>
    pan.accepted?.draw === draw
      ? { ...pan, begun: true, accepted: null, zeroShift: farther(pan.accepted.zeroShift, pan.zeroShift) }
      : pan;
  return Object.fromEntries(Object.entries(pans).map(([id, pan]) => [id, again(pan)]));
}

/** What was thrown away needs no doubt; it will be weighed anew. */
function withoutDraws(pans: Pans, gone: readonly string[]): Pans {
  const kept = ({ weighed, seen, shifts, ...pan }: Pan): Pan => ({
    ...pan,
    seen: seen.filter((draw) => !gone.includes(draw)),
    weighed: weighed.filter(({ draw }) => !gone.includes(draw)),
    shifts: shifts
      .map(({ shift, draws }) => ({ shift, draws: draws.filter((draw) => !gone.includes(draw)) }))
      .filter(({ draws }) => draws.length > 0),
  });
  return Object.fromEntries(Object.entries(pans).map(([id, pan]) => [id, kept(pan)]));
}
