/** What can go wrong inside a simulated scale, set and cleared while it runs. Switching it off clears what is marked so. */
import type { Mass } from '../mass/mass.ts';

export interface Faults {
  /**
   * The display keeps its figure, whatever comes on the pan. `held`: it says that it has settled there; `hung`: it says
   * what it said. Cleared by switching it off.
   */
  frozen: 'held' | 'hung' | undefined;
  /** The display freezes at the first figure in this range (both ends belong to it); then this is cleared. */
  freezesBetween: { readonly low: Mass; readonly high: Mass; readonly how: 'held' | 'hung' } | undefined;
  /** The display shows a figure as long as the load is near enough to it. Cleared by switching it off. */
  snapsTo: { readonly figure: Mass; readonly within: Mass } | undefined;
  /** How fast its zero wanders, micrograms per second. */
  drift: number;
  /** How much more it trembles, standard deviation in micrograms: a draught, a fan. */
  tremble: number;
  /**
   * It takes what stands on it as zero by itself after so long without a change of more than two intervals, milliseconds;
   * undefined: never.
   */
  zeroesAfterMs: number | undefined;
  /** Its supply is low: it says so where its profile has a word for that. */
  lowSupply: boolean;
}

export function noFaults(zeroesAfterMs?: number): Faults {
  return {
    frozen: undefined,
    freezesBetween: undefined,
    snapsTo: undefined,
    drift: 0,
    tremble: 0,
    zeroesAfterMs,
    lowSupply: false,
  };
}

/** What the display makes of a weight, micrograms. */
export function snapped({ snapsTo }: Faults, gross: number): number {
  return snapsTo !== undefined && Math.abs(gross - snapsTo.figure) <= snapsTo.within ? snapsTo.figure : gross;
}

/** Freezes the display where that was waiting for this weight, micrograms. */
export function freezeThere(faults: Faults, gross: number): void {
  const { freezesBetween: range } = faults;
  if (range === undefined || gross < range.low || gross > range.high) return;
  faults.frozen = range.how;
  faults.freezesBetween = undefined;
}

export function clearedByPower(faults: Faults): void {
  faults.frozen = undefined;
  faults.snapsTo = undefined;
}
