/** What a batch has cost, by what is known of its bars. */
import { lotOf } from '../../facts/bars.ts';
import { type Cost, type CostAmong, costFrom } from '../../stock/cost.ts';
import type { BatchRecord } from './batchRecord.ts';

/** A batch on its way, or one whose bars are being weighed off, has no price per bar yet; an abandoned one never. */
export function costOfRecord(record: Pick<BatchRecord, 'plan' | 'lots' | 'bars' | 'status'>): Cost {
  return costFrom(record.plan, record.lots, amongOf(record));
}

function amongOf({ bars, status }: Pick<BatchRecord, 'bars' | 'status'>): CostAmong {
  if (status === 'abandoned') return { kind: 'none' };
  if (status === 'open' || (bars !== null && bars.ended === null)) return { kind: 'open' };
  if (bars === null) return { kind: 'planned' };
  const count = lotOf(bars).length;
  return count === 0 ? { kind: 'none' } : { kind: 'weighed', bars: count };
}
