/** The facts that the weighing chart says, built from what is on the bench at that moment. */
import { drawOf } from '../facts/apply.ts';
import { certaintyOf } from '../facts/certainty.ts';
import type { Deviation, Happened, StepHow } from '../facts/fact.ts';
import { restOf, secondVessel } from '../facts/split.ts';
import { greater, type Mass, minus, ZERO } from '../mass/mass.ts';
import type { PlannedDraw } from '../plan/model.ts';
import { rescuedBy } from '../rescue/accepting.ts';
import type { Offer } from '../rescue/model.ts';
import { troubleInWords } from '../signal/troubleWords.ts';
import { jarDraw, jarNow } from './jarNow.ts';
import {
  arrivalNow,
  beganEarly,
  burstOf,
  drawNow,
  drawStateNow,
  lostWithVessel,
  netNow,
  panNow,
  residueNow,
  type Scene,
  stepNow,
  takenBack,
  wantedNow,
} from './look.ts';
import { heldNow } from './rescueNow.ts';
import { weighedBackNow } from './stepPans.ts';
import { sumNow } from './sumNow.ts';
import { type UndoScene, undoableNow } from './undoing.ts';
import { newlySeen, unseenNow } from './unseenNow.ts';
import { zeroDriftNow } from './zeroNow.ts';

type Said = readonly Happened[];

export const gathered = (): Said => [{ kind: 'gathered' }];
export const finished = (scene: Scene): Said => [{ kind: 'finished', ...unseen(scene) }];
export const abandoned = (scene: Scene): Said => [
  { kind: 'abandoned', reason: 'ended by the maker', ...unseen(scene) },
];

/** Draws of which nothing tells whether the zero moved under them. */
function unseen(scene: Scene): { readonly zeroUnseen?: readonly string[] } {
  const draws = unseenNow(scene);
  return draws.length === 0 ? {} : { zeroUnseen: draws };
}

/** What is decided, with the draws that an empty pan was read after meanwhile. */
export function withSeen(scene: Scene, [first, ...rest]: Said): Said {
  const zeroSeen = newlySeen(scene);
  return first === undefined ? [] : [zeroSeen.length === 0 ? first : { ...first, zeroSeen }, ...rest];
}

/**
 * The draw's vessel stands on its pan. Where the pour did not wait for that, what it weighed at first is what
 * counts. `unusual`: the maker vouches for it although its weight is not the known one.
 */
export function placed(scene: Scene, unusual: boolean): Said {
  const draw = drawNow(scene);
  if (!draw) return [];
  const { load: now, first, zero } = panNow(scene);
  const load = first !== null && beganEarly(scene) ? first : now;
  return [{ kind: 'placed', draw: draw.id, vessel: draw.on, scale: draw.scale, load, zero, unusual }];
}

/** The draw rests above its band. */
export function held(scene: Scene): Said {
  const draw = drawNow(scene);
  const net = netNow(scene);
  const band = wantedNow(scene);
  if (!draw || net === null || band === null) return [];
  return [{ kind: 'held', draw: draw.id, net, over: (net - band.high) as Mass }];
}

/** The rest of the present draw becomes one of its own. What has come in so far is accepted as its first part. */
export function split(scene: Scene, why: 'full' | 'lot-ended', lot?: string): Said {
  const draw = drawNow(scene);
  const net = netNow(scene);
  const band = wantedNow(scene);
  if (!draw || net === null || band === null) return [];
  const nothingYet = net <= 0;
  const come = nothingYet ? ZERO : net;
  const left = { target: minus(band.target, come), low: minus(band.low, come), high: minus(band.high, come) };
  const other = draw.otherLots?.find(({ id }) => id === lot) ?? { id: draw.lot, onHand: minus(draw.lotOnHand, come) };
  const newVessel = why === 'full' && draw.way === 'add' ? secondVessel(scene.batch.plan, draw.vessel) : null;
  const rest = restOf(draw, left, other);
  const into = newVessel === null ? rest : { ...rest, vessel: newVessel.id, on: newVessel.id };
  const first = nothingYet ? [] : weighed(scene, { how: 'key', lotEnded: why === 'lot-ended' });
  return [{ kind: 'split', draw: draw.id, why, nothingYet, rest: into, newVessel }, ...first];
}

interface Accepting {
  readonly how: 'dwell' | 'key';
  readonly deviation?: Deviation;
  readonly lotEnded?: boolean;
}

/** The weight that rests on the pan now is accepted. */
export function weighed(scene: Scene, { how, deviation, lotEnded = false }: Accepting): Said {
  const draw = drawNow(scene);
  const base = drawStateNow(scene)?.base;
  const net = netNow(scene);
  const band = wantedNow(scene);
  if (!draw || base == null || net === null || band === null) return [];
  const pan = panNow(scene);
  return [
    {
      kind: 'weighed',
      draw: draw.id,
      ingredient: draw.ingredient,
      lot: draw.lot,
      vessel: draw.vessel,
      scale: draw.scale,
      way: draw.way,
      target: band.target,
      low: band.low,
      high: band.high,
      before: base,
      after: pan.load,
      net,
      takenBack: takenBack(scene, net),
      ...certaintyOf(scene.batch, draw, net, zeroDriftNow(scene)),
      how: pan.keyed ? 'keyed' : how,
      deviation: deviation ?? null,
      lotEnded,
    },
  ];
}

/** The batch grows, so that what is held is right. */
export function rescued(scene: Scene, offer: Offer): Said {
  const held = heldNow(scene);
  return held === null ? [] : [rescuedBy(offer, held)];
}

/** The cup is back after tipping, with what stayed in it. */
export function tipped(scene: Scene, deviation: Deviation | null = null): Said {
  const draw = drawNow(scene);
  const residue = residueNow(scene);
  if (!draw || residue === null) return [];
  return [{ kind: 'tipped', draw: draw.id, vessel: draw.vessel, residue, deviation }];
}

const GIVEN_UP = 'given up by the maker';

/** What the present draw has taken from its lot so far is thrown away; for the way `add` the whole vessel with it. */
export function givenUp(scene: Scene): Said {
  const draw = drawNow(scene);
  if (!draw) return cameInVain(scene);
  const isBegun = drawStateNow(scene)?.base != null;
  const discarded = isBegun ? thrownAway(scene, draw) : [];
  if (draw.way !== 'add') return discarded;
  const draws = isBegun ? [...lostWithVessel(scene), draw.id] : lostWithVessel(scene);
  return [...discarded, { kind: 'given-up', vessel: draw.vessel, draws, reason: GIVEN_UP }];
}

/** What came over from another bench fell on the way, or is not what it should be. */
function cameInVain(scene: Scene): Said {
  const vessel = arrivalNow(scene)?.vessel;
  return vessel == null ? [] : [{ kind: 'given-up', vessel, draws: lostWithVessel(scene), reason: GIVEN_UP }];
}

/** Nothing, where it is known that nothing was taken. */
function thrownAway(scene: Scene, { id, lot, way }: PlannedDraw): Said {
  const state = drawStateNow(scene);
  const isAccepted = state?.status === 'weighed';
  const seen = isAccepted ? state.net : netNow(scene);
  // What was taken back out of a vessel or cup before is waste as well; on the spoon it went back into the jar.
  const peak = way === 'subtract' || isAccepted ? ZERO : (state?.peak ?? ZERO);
  const amount = seen === null ? (state?.peak ?? ZERO) : greater(seen, peak);
  if (seen !== null && amount <= 0) return [];
  const reason = seen === null ? `${GIVEN_UP}; the amount is not known, for the pan was not at rest` : GIVEN_UP;
  return [{ kind: 'discarded', draw: id, lot, amount, reason }];
}

/** What came back out of the vessel was not thrown away. */
export function returned({ batch }: Pick<Scene, 'batch'>, to: 'jar' | 'aside'): Said {
  const { takenOut } = batch;
  const draw = takenOut && drawOf(batch, takenOut.draw);
  if (!takenOut || !draw) return [];
  const { id, ingredient, lot } = draw;
  return [{ kind: 'returned', draw: id, ingredient, lot, amount: takenOut.amount, to }];
}

export function stepBegun(scene: Scene, how: StepHow = 'key'): Said {
  const step = stepNow(scene);
  return step ? [{ kind: 'step-begun', step: step.id, burst: burstOf(scene) + 1, how }] : [];
}

export function stepDone(scene: Scene, how: StepHow = 'key'): Said {
  const step = stepNow(scene);
  if (!step) return [];
  const weighedBack = how === 'put-on' ? weighedBackNow(scene) : undefined;
  return [{ kind: 'step-done', step: step.id, bursts: burstOf(scene), how, ...(weighedBack ? { weighedBack } : {}) }];
}

/** The vessel on the pan was weighed as a whole. @param reason why it stays as it is although it is off */
export function sumChecked(scene: Scene, reason: string | null = null): Said {
  const step = stepNow(scene);
  const sum = sumNow(scene);
  if (!step || !sum) return [];
  const { vessel, scale, expected, found, allowed, suspects } = sum;
  return [{ kind: 'sum-checked', step: step.id, vessel, scale, expected, found, allowed, suspects, reason }];
}

/** The jar on the pan was weighed. @param reason why it stays as it is although jar and draw disagree */
export function jarWeighed(scene: Scene, reason: string | null = null): Said {
  const step = stepNow(scene);
  const draw = jarDraw(scene);
  const jar = jarNow(scene);
  if (!step?.jar || !draw || !jar) return [];
  const { scale, load, left, allowed } = jar;
  const { when } = step.jar;
  return [
    { kind: 'jar-weighed', step: step.id, draw: draw.id, lot: draw.lot, when, scale, load, left, allowed, reason },
  ];
}

export function undone(scene: UndoScene, how: 'key' | 'put-back'): Said {
  const last = undoableNow(scene);
  return last ? [{ kind: 'undone', corrects: last.seq, of: last.of, id: last.id, how }] : [];
}

export function scaleLost(scene: Scene): Said {
  const draw = drawNow(scene);
  if (!draw) return [];
  const { say: told, trouble } = panNow(scene);
  const say = told ?? (trouble === null ? 'no readings' : troubleInWords(draw.scale, trouble));
  return [{ kind: 'scale-lost', scale: draw.scale, draw: draw.id, say }];
}

/** Zeros that were found to have moved under accepted draws. */
export function zeroShifted({ pans }: Scene): Said {
  return Object.entries(pans).flatMap(([scale, { shifts }]) =>
    shifts.map(({ shift, draws }) => ({ kind: 'zero-shifted' as const, scale, shift, draws })),
  );
}

/** @param scale the one that was lost; the present draw may be on another by now */
export function scaleBack(scene: Scene, scale: string | null): Said {
  return scale === null ? [] : [{ kind: 'scale-back', scale, draw: drawNow(scene)?.id ?? null }];
}
