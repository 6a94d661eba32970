/** Traced batches and their uses as rows of the tables, and back. */
import { mass } from '../../mass/mass.ts';
import type { LotName } from './look.ts';
import type { TracedBatch, Use } from './uses.ts';

export type Row = Readonly<Record<string, unknown>>;

export const PUT_BATCH = `INSERT OR REPLACE INTO trace_batches
  (batch, formula, name, version, mass, bars, bars_made, bars_beside, left_over, status, started, ended, corrections)
  VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`;
export const PUT_USE = `INSERT OR REPLACE INTO trace_uses
  (batch, place, ingredient, lot, name, draw, fate, doubtful, taken, inside, doubt, label_read)
  VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`;
export function nameFrom({ ingredient, lot }: Row): LotName {
  return { ingredient: String(ingredient), lot: String(lot) };
}

/** The values of `PUT_USE`. */
export function rowOfUse(use: Use, place: number) {
  const { batch, ingredient, lot, name, draw, fate, doubtful, taken, inside, doubt, labelRead } = use;
  const read = labelRead ? 1 : 0;
  return [batch, place, ingredient, lot, name, draw, fate, doubtful, taken, inside, doubt, read] as const;
}

export function useFrom(row: Row): Use {
  const { batch, ingredient, lot, name, draw, fate, doubtful, taken, inside, doubt, label_read } = row;
  return {
    batch: String(batch),
    ingredient: String(ingredient),
    lot: String(lot),
    name: String(name),
    draw: String(draw),
    fate: fate as Use['fate'],
    doubtful: doubtful as Use['doubtful'],
    taken: mass(Number(taken)),
    inside: inside === null ? null : mass(Number(inside)),
    doubt: doubt === null ? null : mass(Number(doubt)),
    labelRead: label_read === 1,
  };
}

/** The values of `PUT_BATCH`. */
export function rowOfBatch(of: TracedBatch) {
  const { batch, formula, name, version, bars, barsMade, barsBeside, status, started, ended } = of;
  const [left, noted] = [JSON.stringify(of.leftOver), JSON.stringify(of.corrections)];
  const counted = [bars, barsMade, barsBeside] as const;
  return [batch, formula, name, version, of.mass, ...counted, left, status, started, ended, noted] as const;
}

export function batchFrom(row: Row): TracedBatch {
  const { batch, formula, name, version, bars, status, started, ended, corrections } = row;
  return {
    batch: String(batch),
    formula: String(formula),
    name: String(name),
    version: String(version),
    mass: mass(Number(row.mass)),
    bars: bars === null ? null : Number(bars),
    barsMade: row.bars_made === null ? null : Number(row.bars_made),
    barsBeside: Number(row.bars_beside),
    leftOver: JSON.parse(String(row.left_over)) as TracedBatch['leftOver'],
    status: status as TracedBatch['status'],
    started: String(started),
    ended: ended === null ? null : String(ended),
    corrections: JSON.parse(String(corrections)) as string[],
  };
}
