/** The newest check of each scale of a workshop, and what a batch that begins now has to know of it. */
import { type Fact, type Happened, SCALES, type ScaleStanding } from '../facts/fact.ts';
import type { BatchLog } from './batchLog.ts';

export type ScaleChecked = Extract<Fact, { kind: 'scale-checked' }>;

const NEVER_CHECKED: ScaleStanding = { checkedAt: null, passed: null, slopePpm: null, repeatability: null };

/** By scale. @throws LogTrouble */
export function lastChecks(log: Pick<BatchLog, 'facts'>): ReadonlyMap<string, ScaleChecked> {
  const newest = new Map<string, ScaleChecked>();
  for (const fact of log.facts(SCALES)) if (fact.kind === 'scale-checked') newest.set(fact.scale, fact);
  return newest;
}

/** How these scales stand now, as a fact for the batch that begins or goes on. @throws LogTrouble */
export function scalesStand(log: Pick<BatchLog, 'facts'>, scales: Readonly<Record<string, unknown>>): Happened {
  const checks = lastChecks(log);
  const standing = (id: string): ScaleStanding => {
    const check = checks.get(id);
    if (!check) return NEVER_CHECKED;
    const { at, passed, slopePpm, slopeStandardPpm, repeatability, rows } = check;
    const weighings = rows.filter(({ kind }) => kind === 'repeat').length;
    return {
      checkedAt: at,
      passed,
      slopePpm,
      ...(slopeStandardPpm === undefined ? {} : { slopeStandardPpm }),
      repeatability,
      ...(repeatability === null || weighings < 2 ? {} : { weighings }),
    };
  };
  return {
    kind: 'scales-stand',
    scales: Object.fromEntries(Object.keys(scales).map((id) => [id, standing(id)])),
  };
}
