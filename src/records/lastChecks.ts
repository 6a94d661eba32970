/** The newest check of each scale of a workshop, and what a batch that begins now has to know of it. */
import type { Fact, Happened, ScaleStanding } from '../facts/fact.ts';
import type { BatchLog } from './batchLog.ts';

export type ScaleChecked = Extract<Fact, { kind: 'scale-checked' }>;

const NEVER_CHECKED: ScaleStanding = { checkedAt: null, passed: null, slopePpm: null, repeatability: null };

/** The newest check of a scale; undefined where it never was. @throws LogTrouble */
export function lastCheck(log: Pick<BatchLog, 'lastCheck'>, scale: string): ScaleChecked | undefined {
  const fact = log.lastCheck(scale);
  return fact?.kind === 'scale-checked' ? fact : undefined;
}

/** How these scales stand now, as a fact for the batch that begins or goes on. @throws LogTrouble */
export function scalesStand(log: Pick<BatchLog, 'lastCheck'>, scales: Readonly<Record<string, unknown>>): Happened {
  const standing = (id: string): ScaleStanding => {
    const check = lastCheck(log, id);
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
