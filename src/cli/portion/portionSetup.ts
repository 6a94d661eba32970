/** What portioning a batch goes by: set-point, band, label, scale, and what earlier bars have taught. */

import { adviseSetPoint, ownSpread } from '../../contents/advice.ts';
import type { Drying } from '../../contents/drying.ts';
import { setPointFor } from '../../contents/setPoint.ts';
import { type Mass, mass } from '../../mass/mass.ts';
import { readMassWithUnit } from '../../mass/text.ts';
import { barBand, USUAL_BAND_PARTS } from '../../portion/mayCount.ts';
import type { Aim, BarScale } from '../../portion/model.ts';
import { mixOf } from '../../portion/running.ts';
import type { BatchLog } from '../../records/batchLog.ts';
import { lastCheck, scalesStand } from '../../records/lastChecks.ts';
import type { BatchRecord } from '../../records/record/batchRecord.ts';
import { costFrom } from '../../stock/cost.ts';
import type { Scale, Workshop } from '../../workshop/model.ts';
import { Ending, EXIT } from '../exit.ts';
import { barsSaid, type Declared } from '../records/barsSaid.ts';
import { formulaNow } from '../weigh/rescuing.ts';

export interface AimOptions {
  readonly in: string;
  readonly scale?: string | undefined;
  readonly setPoint?: string | undefined;
  readonly label?: string | undefined;
  readonly band?: string | undefined;
}

export interface PortionSetup {
  readonly aim: Aim;
  readonly scale: Scale;
  readonly barScale: BarScale;
  readonly mix: Mass | null;
  readonly drying: Drying;
  readonly declared: Declared | undefined;
  /** What is to be known of the set-point, as sentences; `short` for the screen. */
  readonly advice: readonly string[];
  readonly short: readonly string[];
}

const WRONG = 'Nothing was recorded.';

function massAsked(option: string, text: string): Mass {
  const found = readMassWithUnit(text);
  if (found !== undefined && found > 0) return found;
  throw new Ending(EXIT.wrongUse, `${option} wants a weight with its unit, such as 75g. ${WRONG}`);
}

export function setUpPortion(
  log: BatchLog,
  record: BatchRecord,
  workshop: Workshop,
  options: AimOptions,
): PortionSetup {
  const { plan, bars } = record;
  const formula = formulaNow(options.in, plan.formula.id, workshop);
  const { declared, drying, earlier, notes } = barsSaid(log, record, formula, options.label);
  const scaleFor = (id: string) => barScaleOf(log, workshop, id);

  const first = scaleNamed(workshop, options.scale ?? bars?.scale);
  const roughly =
    options.setPoint !== undefined && options.setPoint !== 'least'
      ? massAsked('--set-point', options.setPoint)
      : undefined;
  const wantsLeast = options.setPoint === 'least';
  const usual = roughly ?? (wantsLeast ? undefined : (bars?.setPoint ?? plan.bar ?? undefined));
  const guess = usual ?? declared?.label;
  if (guess === undefined) {
    throw new Ending(
      EXIT.wrongUse,
      `What should a bar weigh? Neither the formula nor the label says: --set-point 75g. ${WRONG}`,
    );
  }
  const halfOf = (setPoint: Mass) => {
    if (options.band !== undefined) return massAsked('--band', options.band);
    // The band of a portioning that was begun goes on with it.
    if (bars && bars.setPoint === setPoint) return mass(bars.high - bars.setPoint);
    return mass(Math.round(setPoint / USUAL_BAND_PARTS));
  };
  const scale = first ?? usualScale(workshop, guess, halfOf(guess), scaleFor);
  const barScale = scaleFor(scale.id);
  const spread = ownSpread(earlier, halfOf(guess));
  const mix = bars?.mix ?? mixOf(record.totals);
  const count = plan.bars ?? Math.max(1, Math.floor((mix ?? 24 * guess) / guess));
  const forLeast = declared && { ...declared, spread, drying, bars: count, d: scale.d };
  if (usual === undefined && !forLeast) {
    throw new Ending(EXIT.wrongUse, `The smallest set-point follows from the label: --label 70g. ${WRONG}`);
  }
  const setPoint = usual ?? (forLeast ? setPointFor(forLeast).setPoint : guess);
  const band = barBand(setPoint, halfOf(setPoint), barScale);
  if (band === undefined || setPoint > scale.capacity) {
    throw new Ending(
      EXIT.failed,
      `The ${scale.id} scale can not weigh bars of that weight within that band: take another scale (--scale) or a wider band (--band 1.5g). ${WRONG}`,
    );
  }
  const cost = costFrom(plan, record.lots);
  const unknown = 'No net weight is known for the label: nothing is said of it (--label 70g).';
  const advised = forLeast && adviseSetPoint({ ...forLeast, setPoint, cost, mix });
  const advice = [...(advised?.lines ?? [unknown]), ...notes];
  const short = [advised?.short ?? unknown, ...notes];
  return {
    aim: { setPoint, ...band, label: declared?.label ?? null },
    scale,
    barScale,
    mix,
    drying,
    declared,
    advice,
    short,
  };
}

function scaleNamed(workshop: Workshop, id: string | undefined): Scale | undefined {
  if (id === undefined) return undefined;
  const found = workshop.scales.get(id);
  if (found) return found;
  throw new Ending(EXIT.wrongUse, `Which scale? There are: ${[...workshop.scales.keys()].join(', ')}. ${WRONG}`);
}

/** The largest that weighs finely enough for the band: it has room for a mould. Else the finest. */
function usualScale(workshop: Workshop, setPoint: Mass, half: Mass, scaleFor: (id: string) => BarScale): Scale {
  const scales = [...workshop.scales.values()].sort((a, b) => b.capacity - a.capacity);
  const isRight = (scale: Scale) => {
    const band = barBand(setPoint, half, scaleFor(scale.id));
    return scale.capacity >= setPoint && band !== undefined && band.high - setPoint === half;
  };
  const found = scales.find(isRight) ?? scales.findLast(({ capacity }) => capacity >= setPoint) ?? scales[0];
  if (!found) throw new Ending(EXIT.wrongUse, `The workshop has no scale. ${WRONG}`);
  return found;
}

/** A scale as it stands by its last check. */
export function barScaleOf(log: BatchLog, workshop: Workshop, id: string): BarScale {
  const scale = workshop.scales.get(id);
  if (!scale) throw new Ending(EXIT.wrongUse, `There is no ${id} scale.`);
  const check = lastCheck(log, id);
  const fact = scalesStand(log, { [id]: true });
  const stands = fact.kind === 'scales-stand' ? fact.scales[id] : undefined;
  return {
    id,
    d: scale.d,
    stated: scale.repeatability ?? null,
    measured: stands?.repeatability ?? null,
    weighings: stands?.weighings,
    slope: check?.slopePpm == null ? null : { boundPpm: check.slopePpm, standardPpm: check.slopeStandardPpm },
  };
}
