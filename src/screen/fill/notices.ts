/** Quiet lines about the scales: nothing is to be done about them now, but the maker should know. */
import { drawOf } from '../../facts/apply.ts';
import { size } from '../../mass/mass.ts';
import { drawNow } from '../../weighing/look.ts';
import type { WeighingSnapshot } from '../../weighing/station.ts';
import { backNow } from '../../weighing/stepPans.ts';
import { scalesLeft } from '../../weighing/unseenNow.ts';
import { scaleName, sizeOn } from './names.ts';

/** What is to be told now, the more urgent first. */
export function noticesFor(snapshot: WeighingSnapshot): readonly string[] {
  const scale = drawNow(snapshot.context)?.scale;
  const supply = snapshot.matches('placing') && scale !== undefined ? supplyNotices(snapshot, [scale]) : [];
  return [...takenOutNotice(snapshot), ...shiftNotice(snapshot), ...leftNotice(snapshot), ...supply];
}

/** Scales whose supply is low: all, or some. */
export function supplyNotices({ context: { pans } }: WeighingSnapshot, of = Object.keys(pans)): readonly string[] {
  const low = of.filter((scale) => pans[scale]?.lowSupply === true);
  return low.map((scale) => `The ${scaleName(scale)} says that its supply is low. Its weights still hold.`);
}

/** A jar or cup that nobody needs now stands on a scale: lifted, it costs a moment, and the record is surer for it. */
function leftNotice(snapshot: WeighingSnapshot): readonly string[] {
  // What is back on a pan is being written down: hands off.
  if (!snapshot.matches('step') || backNow(snapshot.context) !== null) return [];
  return scalesLeft(snapshot.context).map(
    (scale) => `Lift what stands on the ${scaleName(scale)} off: its zero is seen then.`,
  );
}

/** Asked once, and answered by going on: then it is waste. */
function takenOutNotice({ context: { batch } }: WeighingSnapshot): readonly string[] {
  const { takenOut, plan } = batch;
  const draw = takenOut && drawOf(batch, takenOut.draw);
  if (!takenOut || !draw) return [];
  return [
    `${sizeOn(plan, draw.scale, takenOut.amount)} of ${draw.name} came back out: waste, or say where it is (j, c).`,
  ];
}

/** A zero that was found to have moved is told until the next draw is accepted. Names come last: they may be cut off. */
function shiftNotice({ context: { batch } }: WeighingSnapshot): readonly string[] {
  const { lastShift, lastAccepted, plan } = batch;
  if (lastShift === null || lastShift.seq < (lastAccepted?.seq ?? 0)) return [];
  const { scale, shift, draws } = lastShift;
  const much = sizeOn(plan, scale, size(shift));
  const names = draws.map((id) => drawOf(batch, id)?.name ?? id);
  return [`The ${scaleName(scale)}'s zero moved by ${much}; as much off may be: ${names.join(', ')}.`];
}
