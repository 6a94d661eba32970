/** The record as JSON: masses are strings of decimal grams, so that no reader loses digits. */
import type { Mass } from '../../mass/mass.ts';
import { exactGrams } from '../../mass/text.ts';
import { costData } from '../../stock/cost.ts';
import { safeJson } from '../safeJson.ts';
import type { BatchRecord } from './batchRecord.ts';
import { barsData } from './recordBars.ts';
import { costOfRecord } from './recordCost.ts';
import type { RecordDraw } from './recordDraws.ts';
import { checkInWords, type RecordScale } from './recordScales.ts';
import { notesOf } from './recordSentences.ts';

/** The record as JSON text, indented. */
export function recordJson(record: BatchRecord): string {
  return safeJson(recordData(record), 2);
}

/** The record as plain data for JSON. Names of fields stay; new ones may be added. */
export function recordData(record: BatchRecord) {
  const { plan, totals } = record;
  return {
    batch: record.batch,
    formula: plan.formula.id,
    formula_name: plan.formula.name,
    version: plan.formula.version,
    status: record.status,
    mass_g: exactGrams(plan.mass),
    bars: plan.bars,
    bar_g: orNull(plan.bar),
    loss_ppm: plan.lossPpm,
    started: record.started,
    finished: record.status === 'finished' ? record.ended : null,
    abandoned: record.status === 'abandoned' ? { at: record.ended, reason: record.abandonedFor } : null,
    operators: record.operators,
    draws: record.draws.map((draw) => drawJson(draw, record)),
    given_up: record.givenUp.map((draw) => drawJson(draw, record)),
    discarded: record.discarded.map(({ amount, ...rest }) => ({ ...rest, amount_g: exactGrams(amount) })),
    over_pours: record.overPours.map(({ net, over, endedBy, ...rest }) => ({
      ...rest,
      ended_by: endedBy,
      net_g: exactGrams(net),
      over_g: exactGrams(over),
    })),
    steps: record.steps.map(({ kind, weighedBack, ...rest }) => ({
      ...rest,
      kind: kind ?? null,
      weighed_back: weighedBack && {
        vessel: weighedBack.vessel,
        scale: weighedBack.scale,
        residue_g: exactGrams(weighedBack.residue),
        uncertainty_g: exactGrams(weighedBack.uncertainty),
      },
    })),
    sums: record.sums.map(({ expected, found, allowed, ...rest }) => ({
      ...rest,
      expected_g: exactGrams(expected),
      found_g: exactGrams(found),
      allowed_g: exactGrams(allowed),
    })),
    scales: record.scales.map(scaleJson),
    scale_events: record.scaleLosses,
    zero_shifts: record.zeroShifts.map(({ shift, ...rest }) => ({ ...rest, shift_g: exactGrams(shift) })),
    resumed: record.resumed,
    measured: record.measured.map(({ say: _say, ...rest }) => rest),
    corrections: record.corrections,
    deviations: record.deviations,
    lots: record.lots.map(({ lot, ingredient, taken, bowl, waste, ended }) => ({
      lot,
      ingredient,
      taken_g: exactGrams(taken),
      bowl_g: exactGrams(bowl),
      waste_g: exactGrams(waste),
      used_up: ended,
    })),
    totals: {
      target_g: exactGrams(totals.target),
      net_g: exactGrams(totals.net),
      bowl_g: exactGrams(totals.bowl),
      stuck_g: exactGrams(totals.stuck),
      difference_g: exactGrams(totals.difference),
      taken_g: exactGrams(totals.taken),
      waste_g: exactGrams(totals.waste),
    },
    other_benches: record.otherBenches.map(({ handedOver, part, ...rest }) => ({
      ...rest,
      handed_over: handedOver,
      part: part && { batch: part.batch, last_seq: part.seal.seq, last_hash: part.seal.hash, at: part.at },
    })),
    part_of: record.partOf,
    portioning: barsData(record.bars),
    cost: costData(costOfRecord(record)),
    last_seq: record.seal.seq,
    last_hash: record.seal.hash,
    last_at: record.lastAt,
  };
}

function drawJson(draw: RecordDraw, record: BatchRecord) {
  return {
    draw: draw.draw,
    ingredient: draw.ingredient,
    name: draw.name,
    inci: draw.inci,
    phase: draw.phase,
    vessel: draw.vessel,
    scale: draw.scale,
    way: draw.way,
    lot: draw.lot,
    target_g: exactGrams(draw.target),
    low_g: exactGrams(draw.low),
    high_g: exactGrams(draw.high),
    before_g: exactGrams(draw.before),
    after_g: exactGrams(draw.after),
    taken_g: exactGrams(draw.taken),
    net_g: exactGrams(draw.net),
    bowl_g: orNull(draw.bowl),
    residue_g: orNull(draw.residue),
    stuck_g: exactGrams(draw.stuck),
    uncertainty_g: exactGrams(draw.uncertainty),
    coverage_factor: draw.coverage,
    budget_g: {
      rounding: exactGrams(draw.budget.rounding),
      repeatability: exactGrams(draw.budget.repeatability),
      drift: exactGrams(draw.budget.drift),
      check: exactGrams(draw.budget.check),
    },
    doubt_g: orNull(draw.doubt),
    accepted: draw.how,
    witness: draw.witness,
    label_read: draw.labelRead,
    at: draw.at,
    by: draw.by,
    notes: notesOf(draw, record),
    trace: draw.trace && {
      midway: draw.trace.midway,
      ms: draw.trace.ms,
      net_g: draw.trace.net.map(exactGrams),
    },
  };
}

function scaleJson({ id, capacity, d, repeatability, keyed, checks }: RecordScale) {
  return {
    scale: id,
    capacity_g: exactGrams(capacity),
    d_g: exactGrams(d),
    repeatability_g: orNull(repeatability),
    keyed,
    checks: checks.map((check) => ({
      as_of: check.asOf,
      checked_at: check.checkedAt,
      that_day: check.today,
      passed: check.passed,
      slope_ppm: check.slopePpm,
      repeatability_g: orNull(check.repeatability),
      says: checkInWords(check),
    })),
  };
}

function orNull(of: Mass | null): string | null {
  return of === null ? null : exactGrams(of);
}
