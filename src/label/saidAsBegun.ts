/** What a formula said for the label when a batch was begun, and what it says otherwise today. */
import { printPercent } from '../formula/checkFormula.ts';
import type { NetDeclared } from '../formula/model.ts';
import type { Plan, PlannedLabel } from '../plan/model.ts';

export interface SaidAsBegun {
  /** What counts: as it was said then; of what nothing was said then, as the formula says today. */
  readonly said: PlannedLabel | undefined;
  /** The plan kept nothing (it is older, or the formula said nothing then): all is of today. */
  readonly isOfToday: boolean;
  /** What the formula says otherwise today, each as a clause: `net 65 g`. */
  readonly otherwise: Partial<Readonly<Record<keyof PlannedLabel, string>>>;
}

/** @param now what the formula says today; undefined where it says nothing, or is gone */
export function saidAsBegun({ label }: Pick<Plan, 'label'>, now: PlannedLabel | undefined): SaidAsBegun {
  if (label === undefined) return { said: now, isOfToday: true, otherwise: {} };
  const { net = now?.net, use = now?.use, dryingPpm = now?.dryingPpm } = label;
  return {
    said: { net, use, dryingPpm },
    isOfToday: false,
    otherwise: {
      ...(now?.net && net && printNet(now.net) !== printNet(net) ? { net: `net ${printNet(now.net)}` } : {}),
      ...(now?.use && now.use !== use ? { use: now.use } : {}),
      ...(now?.dryingPpm !== undefined && now.dryingPpm !== dryingPpm
        ? { dryingPpm: `dried ${printPercent(now.dryingPpm)}` }
        : {}),
    },
  };
}

function printNet({ number, unit }: NetDeclared): string {
  return `${number} ${unit}`;
}
