/** What else happened in a batch: steps, scales that were lost for a while, stops, corrections. */
import type { Fact, WeighedBack } from '../../facts/fact.ts';
import { standingFacts } from '../../facts/undo.ts';
import type { StepKind } from '../../formula/model.ts';
import type { Mass } from '../../mass/mass.ts';
import type { Plan, PlannedStep } from '../../plan/model.ts';
import { measuredInWords } from './measuredInWords.ts';
import { aboutFact } from './recordSentences.ts';

export interface RecordStep {
  readonly step: string;
  readonly phase: string;
  /** Undefined for a step that the plan does not have. */
  readonly kind: StepKind | undefined;
  readonly say: string;
  /** When it was begun; null when only its end was told. */
  readonly begun: string | null;
  /** When it was done; null when it was not finished. */
  readonly done: string | null;
  readonly bursts: number;
  readonly by: string;
  /** What stuck to a vessel that was emptied or wiped out; null when it was not weighed back. */
  readonly weighedBack: WeighedBack | null;
}

export interface ScaleLoss {
  readonly scale: string;
  readonly draw: string | null;
  readonly say: string;
  readonly lost: string;
  /** When its readings could be trusted again; null when that was not noted. */
  readonly back: string | null;
}

/** An empty pan showed that its zero had moved under draws that were weighed before. */
export interface ZeroShiftEvent {
  readonly scale: string;
  /** Its reading then minus the one before. */
  readonly shift: Mass;
  readonly draws: readonly string[];
  readonly at: string;
}

export interface Correction {
  readonly seq: number;
  readonly corrects: number;
  /** What it corrects, a phrase. */
  readonly about: string;
  readonly note: string;
  readonly reason: string;
  readonly at: string;
  readonly by: string;
}

/** Something that was measured, and what was wanted, in words. */
export interface Measurement {
  readonly step: string | null;
  readonly what: string;
  readonly value: string;
  readonly say: string;
  readonly at: string;
  readonly by: string;
}

/** A vessel weighed as a whole against the sum of its draws. */
export type RecordSum = Omit<Extract<Fact, { kind: 'sum-checked' }>, 'kind' | 'batch'>;

export interface EventsOfRecord {
  readonly sums: readonly RecordSum[];
  readonly steps: readonly RecordStep[];
  readonly scaleLosses: readonly ScaleLoss[];
  readonly zeroShifts: readonly ZeroShiftEvent[];
  readonly resumed: readonly { readonly at: string; readonly by: string }[];
  readonly measured: readonly Measurement[];
  readonly corrections: readonly Correction[];
}

/** Gathers them in the order in which they happened. */
export function walkEvents(plan: Plan, facts: readonly Fact[]): EventsOfRecord {
  const steps: RecordStep[] = [];
  const sums: RecordSum[] = [];
  const scaleLosses: ScaleLoss[] = [];
  const zeroShifts: ZeroShiftEvent[] = [];
  const resumed: { at: string; by: string }[] = [];
  const measured: Measurement[] = [];
  const corrections: Correction[] = [];
  for (const fact of standingFacts(facts)) {
    switch (fact.kind) {
      case 'step-begun':
      case 'step-done':
        putStep(steps, plan, fact);
        break;
      case 'sum-checked': {
        const { kind: _kind, batch: _batch, ...sum } = fact;
        sums.push(sum);
        break;
      }
      case 'scale-lost':
        scaleLosses.push({ scale: fact.scale, draw: fact.draw, say: fact.say, lost: fact.at, back: null });
        break;
      case 'scale-back': {
        const index = scaleLosses.findLastIndex(({ scale, back }) => scale === fact.scale && back === null);
        const loss = scaleLosses[index];
        if (loss) scaleLosses[index] = { ...loss, back: fact.at };
        break;
      }
      case 'zero-shifted':
        zeroShifts.push({ scale: fact.scale, shift: fact.shift, draws: fact.draws, at: fact.at });
        break;
      case 'resumed':
        resumed.push({ at: fact.at, by: fact.by });
        break;
      case 'measured': {
        const { step, what, value, at, by } = fact;
        measured.push({ step, what, value, say: measuredInWords(fact, plan), at, by });
        break;
      }
      case 'corrected': {
        const { seq, corrects, note, reason, at, by } = fact;
        const about = aboutFact(
          facts.find((each) => each.seq === corrects),
          plan,
        );
        corrections.push({ seq, corrects, about, note, reason, at, by });
      }
    }
  }
  return { steps, sums, scaleLosses, zeroShifts, resumed, measured, corrections };
}

function putStep(steps: RecordStep[], plan: Plan, fact: Fact & { kind: 'step-begun' | 'step-done' }): void {
  const index = steps.findLastIndex(({ step, done }) => step === fact.step && done === null);
  const open = steps[index];
  const change =
    fact.kind === 'step-begun'
      ? { bursts: fact.burst }
      : { bursts: fact.bursts, done: fact.at, by: fact.by, weighedBack: fact.weighedBack ?? null };
  if (open) {
    steps[index] = { ...open, ...change };
    return;
  }
  const planned = plan.tasks.find((task): task is PlannedStep => task.kind === 'step' && task.id === fact.step);
  steps.push({
    step: fact.step,
    phase: planned?.phase ?? '',
    kind: planned?.step,
    say: planned?.say ?? fact.step,
    begun: fact.kind === 'step-begun' ? fact.at : null,
    done: null,
    by: fact.by,
    weighedBack: null,
    ...change,
  });
}
