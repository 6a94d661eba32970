/** Labels of jars at the bench: judged, told, and the right one noted as a fact. */
import type { Fact, FactLog } from '../../facts/fact.ts';
import { isElsewhere } from '../../facts/handOver.ts';
import type { PlannedDraw } from '../../plan/model.ts';
import { stamp } from '../../records/stamp.ts';
import { isLabel, judgeLabel } from '../../stock/jarLabel.ts';
import { drawNow } from '../../weighing/look.ts';
import type { Station } from '../../weighing/station.ts';

export interface LabelDesk {
  /** Whether a typed line is meant as a label. */
  isLabel(text: string): boolean;
  /** Judges a label that was scanned or typed, and notes a right one. @returns what to tell the maker, a sentence */
  read(text: string): { readonly ok: boolean; readonly say: string };
}

export interface LabelDeskOptions {
  readonly station: Pick<Station, 'snapshot'>;
  readonly log: FactLog;
  readonly by: string;
  readonly blockedFor?: ((ingredient: string, lot: string) => string | null) | undefined;
  readonly onFacts: (facts: readonly Fact[]) => void;
  /** A label could not be written down: a sentence. */
  readonly onTrouble: (say: string) => void;
  /** `YYYY-MM-DD`; by default the machine's. */
  readonly today?: () => string;
}

export function createLabelDesk({
  station,
  log,
  by,
  blockedFor = () => null,
  onFacts,
  onTrouble,
  today = () => stamp(new Date()).slice(0, 10),
}: LabelDeskOptions): LabelDesk {
  const confirmed = new Set<string>();
  return {
    isLabel: (text) => isLabel(text, station.snapshot().context.batch.plan),
    read(text) {
      const { context } = station.snapshot();
      const { batch } = context;
      const open = batch.plan.tasks.filter(
        (task): task is PlannedDraw =>
          task.kind === 'draw' && batch.draws[task.id]?.status === 'open' && !isElsewhere(batch, task),
      );
      const now = drawNow(context);
      const wanted = batch.gathered ? (now ? [now] : []) : open;
      const judged = judgeLabel(text, { plan: batch.plan, wanted, today: today(), blockedFor });
      if (!judged.ok) return judged;
      const { draws, ingredient, lot, label } = judged;
      const key = JSON.stringify([draws, lot]);
      if (!confirmed.has(key)) {
        confirmed.add(key);
        // Nothing hangs on it, so nothing waits for it: the chart goes on, and the log puts it in its place.
        log
          .append(batch.batch, by, [{ kind: 'lot-confirmed', draws, ingredient, lot, label }])
          .then(onFacts, (error) => {
            confirmed.delete(key);
            onTrouble(error instanceof Error ? error.message : String(error));
          });
      }
      return judged;
    },
  };
}
