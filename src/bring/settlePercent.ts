/** Percent must come to 100; how they do not is said, or asked. */
import { added, type Fraction, fraction, isEqual, ONE, sumOfFractions } from '../formula/fraction.ts';
import { printShare } from '../formula/shares.ts';
import { asFraction, HUNDRED } from './decimalMark.ts';
import type { Answers, Draft, DraftLine, Understood } from './model.ts';

function phasesAddUp(lines: readonly DraftLine[]): boolean {
  const phases = new Map<string, Fraction>();
  for (const { phase, amount } of lines) {
    if (amount === 'rest') return false;
    phases.set(phase, added(phases.get(phase) ?? fraction(0n, 1n), asFraction(amount)));
  }
  return phases.size > 1 && [...phases.values()].every((sum) => isEqual(sum, HUNDRED));
}

/** A draft in percent, or what is to be asked or said of its sum. */
export function settlePercent(draft: Draft, answers: Answers): Understood {
  const rest = draft.lines.filter(({ amount }) => amount === 'rest').length;
  const sum = sumOfFractions(draft.lines.flatMap(({ amount }) => (amount === 'rest' ? [] : [asFraction(amount)])));
  const share = fraction(sum.n, sum.d * 100n);
  if (rest > 1)
    return { kind: 'faults', faults: ['Two ingredients are to fill up to 100: give one of them its amount.'] };
  if (rest === 1) {
    if (share.n < share.d) return { kind: 'draft', draft };
    return {
      kind: 'faults',
      faults: [`The others add up to ${printShare(share)}: nothing is left for what fills up to 100.`],
    };
  }
  if (isEqual(sum, HUNDRED)) return { kind: 'draft', draft };
  if (isEqual(sum, ONE)) {
    const lines = draft.lines.map((each) =>
      each.amount === 'rest'
        ? each
        : { ...each, amount: { digits: each.amount.digits * 100n, scale: each.amount.scale } },
    );
    const note = 'The shares add up to 1: they are taken as fractions, and 0.05 as 5 %.';
    return { kind: 'draft', draft: { ...draft, lines, notes: [...draft.notes, note] } };
  }
  if (phasesAddUp(draft.lines)) {
    const why =
      'Each phase adds up to 100 % by itself, and how much of the batch each phase is, the sheet does not say. Write percent of the batch; or bring one phase at a time, and give each `share:` in the formula file.';
    return { kind: 'faults', faults: [why] };
  }
  if (answers.sum === 'scale') {
    const note = `The shares add up to ${printShare(share)}. As you say, they are taken as parts of that.`;
    return { kind: 'draft', draft: { ...draft, amounts: 'parts', notes: [...draft.notes, note] } };
  }
  const ask = `The shares add up to ${printShare(share)}, not to 100 %. Is a row missing or mistyped? Then mend the sheet.`;
  const means = 'no, it is only rounded: take the shares as parts of what they add up to';
  return { kind: 'questions', questions: [{ option: '--sum', ask, choices: [{ answer: 'scale', means }] }] };
}
