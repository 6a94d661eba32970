/** The rule for "may this weight be accepted?". */
import { type Mass, minus, size } from '../mass/mass.ts';

/** Lowest and highest net weight that a draw accepts without a decision of the maker. */
export interface Band {
  readonly low: Mass;
  readonly high: Mass;
}

export type Verdict = 'under' | 'in' | 'over';

/** May this weight be accepted? `in`: yes. The limits themselves belong to the band. */
export function judge(net: Mass, { low, high }: Band): Verdict {
  if (net < low) return 'under';
  if (net > high) return 'over';
  return 'in';
}

/** How far a net weight is outside its band; 0 inside. */
export function outsideBy(net: Mass, band: Band): Mass {
  const verdict = judge(net, band);
  if (verdict === 'in') return 0 as Mass;
  return size(minus(net, verdict === 'over' ? band.high : band.low));
}
