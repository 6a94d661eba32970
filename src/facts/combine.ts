/**
 * Emptying one vessel into another, and wiping it out after. What stuck to it is known only where the emptied vessel
 * is weighed back; it is then shared out among its ingredients as if it were evenly mixed.
 */
import { greater, lesser, type Mass, minus, plus, sumOf, ZERO } from '../mass/mass.ts';
import { splitByShares } from '../mass/split.ts';
import type { BatchState, Clinging, VesselState } from './batchState.ts';
import type { WeighedBack } from './fact.ts';
import { overflowOf } from './split.ts';

/** What of a draw has stuck to vessels on its way. */
export function stuckOf(state: BatchState, draw: string): Mass {
  return sumOf(
    Object.values(state.clinging).map(({ shares, lost }) => plus(shares[draw] ?? ZERO, lost?.[draw] ?? ZERO)),
  );
}

/** What is in a vessel by the draws that went into it, less what stuck to others on the way. */
export function contentOf(state: BatchState, vessel: string): Mass {
  return sumOf((state.vessels[vessel]?.holds ?? []).map((draw) => inItself(state, draw)));
}

/**
 * One vessel was emptied into another. Without `back` neither weight is known any longer (the next placing takes what
 * the pan shows); what they hold is.
 */
export function combined(state: BatchState, from: string, into: string, back: WeighedBack | undefined): BatchState {
  const more = overflowOf(state.plan, from);
  const moved = [from, ...more].flatMap((id) => state.vessels[id]?.holds ?? []);
  const content = sumOf([from, ...more].map((id) => contentOf(state, id)));
  const residue = back ? lesser(back.residue, content) : ZERO;
  const target = state.vessels[into];
  const load = plus(target?.load ?? state.plan.vessels[into]?.tare ?? ZERO, minus(content, residue));
  const vessels: Record<string, VesselState> = {
    ...[from, ...more].reduce(withoutVessel, state).vessels,
    [into]: { load, certain: false, holds: [...(target?.holds ?? []), ...moved], empty: target?.empty ?? null },
  };
  if (!back) return { ...state, vessels };
  const empty = state.vessels[from]?.empty ?? null;
  const lost = lostIn(state.clinging[from]);
  const clings: Clinging = { residue, shares: sharesOf(state, moved, residue), into, ...(lost ? { lost } : {}) };
  return {
    ...state,
    vessels: { ...vessels, [from]: { load: back.load, certain: true, holds: [], empty } },
    clinging: { ...state.clinging, [from]: clings },
  };
}

/** A vessel that was emptied before was wiped out into another and weighed back: what is gone from it is in there. */
export function rinsed(state: BatchState, from: string, into: string, back: WeighedBack | undefined): BatchState {
  const before = state.clinging[from];
  if (!back || !before) return state;
  const residue = lesser(back.residue, before.residue);
  const gained = greater(ZERO, minus(before.residue, residue));
  const ids = Object.keys(before.shares);
  const shares = shareOut(
    ids,
    ids.map((id) => before.shares[id] ?? ZERO),
    residue,
  );
  const target = state.vessels[into];
  const vessel = state.vessels[from];
  return {
    ...state,
    vessels: {
      ...state.vessels,
      ...(target ? { [into]: { ...target, load: plus(target.load, gained) } } : {}),
      ...(vessel ? { [from]: { ...vessel, load: back.load } } : {}),
    },
    clinging: { ...state.clinging, [from]: { ...before, residue, shares } },
  };
}

/**
 * What stuck to vessels, after some were emptied into the bin: of the draws that are to be done again it is forgotten; of
 * others it stays lost, and nothing of it can be wiped out any more.
 */
export function clingingAfter(
  clinging: BatchState['clinging'],
  emptied: ReadonlySet<string>,
  draws: readonly string[],
): BatchState['clinging'] {
  const known = Object.entries(clinging).map(([from, each]): [string, Clinging] => {
    const kept = emptied.has(from) ? { ...each, residue: ZERO, shares: {}, lost: lostIn(each) ?? {} } : each;
    const shares = without(kept.shares, draws);
    const lost = without(kept.lost ?? {}, draws);
    const residue = sumOf(Object.values(shares));
    return [from, { into: kept.into, residue, shares, ...(isAny(lost) ? { lost } : {}) }];
  });
  return Object.fromEntries(known.filter(([, { shares, lost }]) => isAny(shares) || lost !== undefined));
}

const isAny = (of: Readonly<Record<string, Mass>>): boolean => Object.keys(of).length > 0;

function without(shares: Clinging['shares'], draws: readonly string[]): Clinging['shares'] {
  return Object.fromEntries(Object.entries(shares).filter(([draw]) => !draws.includes(draw)));
}

/** All that stuck to a vessel so far; undefined for nothing. */
function lostIn(clings: Clinging | undefined): Clinging['shares'] | undefined {
  if (!clings) return undefined;
  const { shares, lost = {} } = clings;
  const draws = [...new Set([...Object.keys(shares), ...Object.keys(lost)])];
  return Object.fromEntries(draws.map((draw) => [draw, plus(shares[draw] ?? ZERO, lost[draw] ?? ZERO)]));
}

/** The state with nothing known of a vessel. */
export function withoutVessel(state: BatchState, vessel: string): BatchState {
  const { [vessel]: _gone, ...vessels } = state.vessels;
  return { ...state, vessels };
}

function inItself(state: BatchState, draw: string): Mass {
  return greater(ZERO, minus(state.draws[draw]?.bowl ?? ZERO, stuckOf(state, draw)));
}

function sharesOf(state: BatchState, draws: readonly string[], residue: Mass): Readonly<Record<string, Mass>> {
  return shareOut(
    draws,
    draws.map((draw) => inItself(state, draw)),
    residue,
  );
}

function shareOut(ids: readonly string[], weights: readonly Mass[], whole: Mass): Readonly<Record<string, Mass>> {
  if (!weights.some((weight) => weight > 0)) return {};
  const pieces = splitByShares(whole, weights);
  return Object.fromEntries(ids.map((id, index) => [id, pieces[index] ?? ZERO]));
}
