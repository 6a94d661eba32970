/** How far an instrument's indication may be off at a load. */
import { type Mass, mass, size } from '../mass/mass.ts';
import type { AccuracyClass, Verification } from './accuracyClass.ts';

/** Upper ends of the bands of load, counted in intervals, and the limit in each; the last limit holds above all ends. */
interface Bands {
  readonly upTo: readonly number[];
  /** In intervals. */
  readonly limits: readonly number[];
}

/** OIML R 76-1:2006, Table 6: maximum permissible errors on initial verification, in e. */
const ON_VERIFICATION: Readonly<Record<AccuracyClass, Bands>> = {
  I: { upTo: [50_000, 200_000], limits: [0.5, 1, 1.5] },
  II: { upTo: [5_000, 20_000], limits: [0.5, 1, 1.5] },
  III: { upTo: [500, 2_000], limits: [0.5, 1, 1.5] },
  IIII: { upTo: [50, 200], limits: [0.5, 1, 1.5] },
};

/** NIST Handbook 44, section 2.20, Table 6: maintenance tolerances, in scale divisions. */
const MAINTENANCE: Readonly<Record<AccuracyClass, Bands>> = {
  I: { upTo: [50_000, 200_000], limits: [1, 2, 3] },
  II: { upTo: [5_000, 20_000], limits: [1, 2, 3] },
  III: { upTo: [500, 2_000, 4_000], limits: [1, 2, 3, 5] },
  IIII: { upTo: [50, 200, 400], limits: [1, 2, 3, 5] },
};

/** An upper end belongs to the band below it. @returns in intervals */
function limitAt({ upTo, limits }: Bands, load: Mass, interval: Mass): number {
  const band = upTo.findIndex((end) => size(load) <= end * interval);
  return limits.at(band === -1 ? -1 : band) ?? 0;
}

function inMass(intervals: number, interval: Mass): Mass {
  return mass(Math.floor(intervals * interval));
}

/** Maximum permissible error, either way, on initial verification (OIML R 76-1, Table 6). @param load gross or net */
export function permissibleOnVerification(load: Mass, { accuracyClass, e }: Verification): Mass {
  return inMass(limitAt(ON_VERIFICATION[accuracyClass], load, e), e);
}

/** Maximum permissible error, either way, in service: twice that on verification (Directive 90/384/EEC, Annex I, 4.2). */
export function permissibleInService(load: Mass, { accuracyClass, e }: Verification): Mass {
  return inMass(2 * limitAt(ON_VERIFICATION[accuracyClass], load, e), e);
}

/** Maintenance tolerance, either way, for an instrument in use (NIST Handbook 44, 2.20, Table 6). */
export function maintenanceTolerance(load: Mass, { accuracyClass, e }: Verification): Mass {
  return inMass(limitAt(MAINTENANCE[accuracyClass], load, e), e);
}

/** Acceptance tolerance, for a new or newly mended instrument: half the maintenance tolerance (same table). */
export function acceptanceTolerance(load: Mass, { accuracyClass, e }: Verification): Mass {
  return inMass(limitAt(MAINTENANCE[accuracyClass], load, e) / 2, e);
}
