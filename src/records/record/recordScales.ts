/** The scales of a batch record: their data, and what their checks said when the batch was begun or taken up again. */
import { scalesFrom } from '../../facts/apply.ts';
import type { ScaleState } from '../../facts/batchState.ts';
import type { Fact } from '../../facts/fact.ts';
import type { Plan, PlannedScale } from '../../plan/model.ts';
import { plainGrams, spelled } from './recordWords.ts';

/** What was known of a scale from then on. */
export interface RecordCheck extends ScaleState {
  readonly asOf: string;
}

export interface RecordScale extends PlannedScale {
  /** In order; one that says the same as the one before is left out. None: the batch is older than such facts. */
  readonly checks: readonly RecordCheck[];
}

/** The scales of the plan. */
export function scalesOf(plan: Plan, facts: readonly Fact[]): RecordScale[] {
  const stands = facts
    .filter((fact) => fact.kind === 'scales-stand')
    .map((fact) => ({ at: fact.at, scales: scalesFrom(fact) }));
  return Object.values(plan.scales).map((scale) => {
    const checks: RecordCheck[] = [];
    for (const { at, scales } of stands) {
      const state = scales[scale.id];
      const last = checks.at(-1);
      if (!state || (last?.checkedAt === state.checkedAt && last.today === state.today)) continue;
      checks.push({ asOf: at, ...state });
    }
    return { ...scale, checks };
  });
}

/** Whether a scale was used without having passed a check that day. */
export function isUnproved({ today, passed }: Pick<ScaleState, 'today' | 'passed'>): boolean {
  return !today || passed !== true;
}

/** `checked 2026-11-25 07:55:00 (+01:00): passed; errors of up to 200 ppm are possible, repeatability 0.004 g`. */
export function checkInWords({ checkedAt, passed, today, slopePpm, repeatability }: ScaleState): string {
  if (checkedAt === null) return 'not checked';
  const found = [
    slopePpm === null ? '' : `errors of up to ${slopePpm} ppm are possible`,
    repeatability === null ? '' : `repeatability taken as ${plainGrams(repeatability)} g`,
  ].filter((part) => part !== '');
  const day = today ? '' : 'not checked that day; last ';
  return `${day}checked ${spelled(checkedAt)}: ${passed ? 'passed' : 'FAILED'}${found.length > 0 ? `; ${found.join(', ')}` : ''}`;
}
