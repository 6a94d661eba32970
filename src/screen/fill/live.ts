/** The live view: the numbers of the present draw's scale as text on that scale's grid. */
import { type Mass, minus } from '../../mass/mass.ts';
import { decimalsOf, onGrid, printMass } from '../../mass/text.ts';
import { upToGrid } from '../../plan/plannedBand.ts';
import { baseNow, drawNow, drawStateNow, standing, wantedNow } from '../../weighing/look.ts';
import type { Live, Station, WeighingSnapshot } from '../../weighing/station.ts';
import { type LiveView, NO_LIVE, type PanState } from '../view.ts';
import { scaleName } from './names.ts';

/** The live view now. Without a draw at hand there is none. */
export function liveViewOf(snapshot: WeighingSnapshot, station: Pick<Station, 'live'>): LiveView {
  const { context } = snapshot;
  const draw = drawNow(context);
  const band = wantedNow(context);
  const scale = draw && context.batch.plan.scales[draw.scale];
  if (!draw || !scale || band === null || snapshot.matches('ended') || snapshot.matches('gathering')) return NO_LIVE;

  const live = station.live(draw.scale);
  const decimals = decimalsOf(scale.d);
  const text = (of: Mass) => printMass(onGrid(of, scale.d), { decimals });
  const begun = baseNow(context) !== null && live.net !== undefined;
  const onIt = begun && isInVessel(snapshot);
  const net = onIt ? live.net : undefined;
  const { cue, landing, runsOn } = live.told;
  const lane = { low: band.low, target: band.target, high: band.high, d: scale.d, landing };
  return {
    state: panState(live, scale.keyed),
    fresh: live.fresh && !(standing(context) === 'unsure'),
    scaleName: scaleName(draw.scale),
    way: draw.way,
    remaining: net === undefined ? undefined : text(minus(band.target, net)),
    takeBack:
      snapshot.matches('hold') && net !== undefined && net > band.high
        ? text(upToGrid(minus(net, band.high), scale.d))
        : undefined,
    unit: 'g',
    net: net === undefined ? undefined : text(net),
    gross: live.load === undefined ? undefined : text(live.load),
    flow: flowText(live, decimals),
    cue: live.fresh ? (cue ?? undefined) : undefined,
    landing: landing === undefined ? undefined : text(landing),
    learnt: runsOn && learntText(text(runsOn.amount), runsOn.pours),
    lane: net === undefined ? undefined : { net, ...lane },
    refused: live.refused,
  };
}

/** Whether what the pan carries is the draw's vessel with what came in, not an empty pan or a cup on its way back. */
function isInVessel(snapshot: WeighingSnapshot): boolean {
  if (snapshot.matches('placing') || snapshot.matches('tipping')) return false;
  const looksAway = snapshot.matches('paused') || snapshot.matches('abandoning') || snapshot.matches('givingUp');
  if (!looksAway) return true;
  return drawStateNow(snapshot.context)?.status !== 'weighed' && standing(snapshot.context) !== 'nothing';
}

function panState(live: Live, keyed: boolean): PanState {
  if (keyed) return live.gross === undefined ? 'off' : 'settled';
  if (live.trouble !== undefined) return 'trouble';
  if (!live.fresh) return 'silent';
  return live.settled ? 'settled' : 'moving';
}

/** Shown only while it says something: from a few intervals a second on. */
function flowText(live: Live, decimals: number): string | undefined {
  const perSecond = live.flow / 1e6;
  const least = 3 * 10 ** -decimals;
  return Math.abs(perSecond) < least ? undefined : `${perSecond.toFixed(Math.max(0, decimals - 1))} g/s`;
}

/** What is learnt is shown as such: it is no number of the scale. */
function learntText(amount: string, pours: number): string {
  return `About ${amount} g runs on after a stop: learnt from ${pours} pours.`;
}
