/** One line of plain text for each fact, for `--plain` and `bismar log`. */
import { cleanText } from '../../facts/cleanText.ts';
import type { Fact, ScaleStanding } from '../../facts/fact.ts';
import { causeOfShift, shiftInWords } from '../../facts/shiftInWords.ts';
import { zeroUnseenIn } from '../../facts/unseenZero.ts';
import type { Mass } from '../../mass/mass.ts';
import { decimalsOf, printMass } from '../../mass/text.ts';
import type { Plan, PlannedDraw } from '../../plan/model.ts';
import { measuredInWords } from '../../records/record/measuredInWords.ts';
import { lotLine } from '../../stock/lotLine.ts';
import { barLine } from '../portion/barLine.ts';
import { handOverLine } from '../shared/handOverLine.ts';

/** `10:02:11 #14 B1 Purified water: 34.1 g accepted ...` */
export function factLine(fact: Fact, plan: Plan | undefined): string {
  return cleanText(`${fact.at.slice(11, 19)} #${fact.seq} ${told(fact, plan)}`);
}

function told(fact: Fact, plan: Plan | undefined): string {
  const draw = 'draw' in fact && fact.draw !== null ? drawIn(plan, fact.draw) : undefined;
  const name = draw ? `${draw.id} ${draw.name}` : 'draw' in fact ? (fact.draw ?? '') : '';
  const on = (scale: string | undefined, of: Mass) => grams(plan, scale, of);
  const vessel = (id: string) => plan?.vessels[id]?.name ?? id;
  switch (fact.kind) {
    case 'batch-started':
      return `batch ${fact.batch} of ${fact.plan.formula.name} ${fact.plan.formula.version} begun by ${fact.by}: ${printMass(fact.plan.mass, { decimals: 1 })} g`;
    case 'scales-stand':
      return `scales: ${Object.entries(fact.scales)
        .map(([id, standing]) => `${id} ${lastCheck(standing)}`)
        .join('; ')}`;
    case 'scale-checked':
      return `${fact.scale} scale checked: ${fact.passed ? 'passed' : 'FAILED'} (${fact.basis})`;
    case 'gathered':
      return 'everything is at hand';
    case 'resumed':
      return `taken up again by ${fact.by}${unseen(fact, plan)}`;
    case 'placed':
      return `${name}: ${vessel(fact.vessel)} is on the ${fact.scale} scale, ${on(fact.scale, fact.load)}${fact.unusual ? ' (not its usual weight; the maker said it is right)' : ''}`;
    case 'held':
      return `${name}: HOLD, ${on(draw?.scale, fact.net)} is ${on(draw?.scale, fact.over)} too much`;
    case 'weighed':
      return `${name}: ${on(fact.scale, fact.net)} accepted (wanted ${on(fact.scale, fact.target)}, lot ${fact.lot})${weighedMore(fact, plan)}`;
    case 'tipped':
      return `${name}: tipped into ${vessel(fact.vessel)}, ${on(draw?.scale, fact.residue)} stayed in the cup${fact.deviation ? `; kept: ${fact.deviation.reason}` : ''}`;
    case 'discarded':
      return `${name}: ${on(draw?.scale, fact.amount)} of lot ${fact.lot} thrown away (${fact.reason})`;
    case 'returned':
      return `${name}: the ${on(draw?.scale, fact.amount)} taken out ${fact.to === 'jar' ? 'went back into the jar of' : 'is kept aside, of'} lot ${fact.lot}`;
    case 'given-up':
      return `${vessel(fact.vessel)} given up with all in it (${fact.reason}); to do again: ${fact.draws.join(', ') || 'nothing finished'}`;
    case 'rescued':
      return `batch scaled up from ${printMass(fact.from.mass, { decimals: 1 })} g to ${printMass(fact.plan.mass, { decimals: 1 })} g: ${fact.say}`;
    case 'step-begun':
      return `step ${fact.step}: ${stepSay(plan, fact.step)} (begun${fact.burst > 1 ? `, burst ${fact.burst}` : ''})`;
    case 'step-done':
      return `step ${fact.step}: ${stepSay(plan, fact.step)} (done${fact.bursts > 1 ? ` after ${fact.bursts} bursts` : ''})${stuckIn(fact, plan)}`;
    case 'split':
      return `${name}: ${fact.why === 'full' ? 'no more fits' : 'the lot is empty'}; the rest is ${fact.rest.id}, lot ${fact.rest.lot}`;
    case 'sum-checked':
      return `${vessel(fact.vessel)} weighs ${on(fact.scale, fact.found)}, its draws add up to ${on(fact.scale, fact.expected)}${fact.reason === null ? ': right' : `: off, kept: ${fact.reason}`}`;
    case 'jar-weighed':
      return `jar of lot ${fact.lot} ${fact.when} ${name}: ${on(fact.scale, fact.load)}${fact.left === null ? '' : `, ${on(fact.scale, fact.left)} has left it`}${fact.reason === null ? '' : `; off, kept: ${fact.reason}`}`;
    case 'undone':
      return `#${fact.corrects} taken back: ${fact.id} is open again`;
    case 'scale-lost':
      return `${name}: the ${fact.scale} scale can not be relied on: ${fact.say}`;
    case 'scale-back':
      return `${name}: the ${fact.scale} scale is back`;
    case 'zero-shifted':
      return `${shiftInWords(fact, plan)} (${causeOfShift(fact.shift)})`;
    case 'lot-received':
    case 'lot-blocked':
    case 'lot-released':
    case 'stock-taken':
    case 'lot-short':
    case 'lot-confirmed':
      return lotLine(fact);
    case 'measured':
      return measuredInWords(fact, plan);
    case 'corrected':
      return `correction of fact #${fact.corrects}: ${fact.note} (${fact.reason})`;
    case 'portioning-started':
    case 'bar':
    case 'bar-pulled':
    case 'bar-pressed':
    case 'left-over':
    case 'portioning-ended':
    case 'bar-weighed-again':
    case 'bar-again-undone':
      return barLine(fact, on);
    case 'handed-over':
    case 'calling-back':
    case 'called-back':
    case 'brought-in':
    case 'joined':
    case 'join-confirmed':
      return handOverLine(fact, plan);
    case 'finished':
      return `batch finished${unseen(fact, plan)}`;
    case 'abandoned':
      return `batch ended unfinished (${fact.reason})${unseen(fact, plan)}`;
  }
}

function stuckIn({ weighedBack }: Fact & { kind: 'step-done' }, plan: Plan | undefined): string {
  if (!weighedBack) return '';
  const { vessel, scale, residue } = weighedBack;
  return `; ${grams(plan, scale, residue)} stuck to ${plan?.vessels[vessel]?.name ?? vessel}`;
}

/** What no empty pan has told of. */
function unseen(fact: Fact, plan: Plan | undefined): string {
  const draws = zeroUnseenIn(fact).map((id) => `${id} ${drawIn(plan, id)?.name ?? ''}`.trim());
  return draws.length === 0 ? '' : `; the empty pan was not seen after ${draws.join(', ')}`;
}

function lastCheck({ checkedAt, passed }: ScaleStanding): string {
  return checkedAt === null
    ? 'never checked'
    : `checked ${checkedAt.slice(0, 10)} ${checkedAt.slice(11, 16)}, ${passed ? 'passed' : 'FAILED'}`;
}

function weighedMore(fact: Fact & { kind: 'weighed' }, plan: Plan | undefined): string {
  const parts = [
    fact.deviation ? `${fact.deviation.kind} its band, kept: ${fact.deviation.reason}` : '',
    fact.takenBack > 0 ? `${grams(plan, fact.scale, fact.takenBack)} taken back out` : '',
    fact.lotEnded ? 'the lot is empty' : '',
    fact.how === 'keyed' ? 'typed from the display' : '',
  ].filter((part) => part !== '');
  return parts.length === 0 ? '' : `; ${parts.join('; ')}`;
}

function drawIn(plan: Plan | undefined, id: string): PlannedDraw | undefined {
  return plan?.tasks.find((task): task is PlannedDraw => task.kind === 'draw' && task.id === id);
}

function stepSay(plan: Plan | undefined, id: string): string {
  const step = plan?.tasks.find((task) => task.id === id);
  return step?.kind === 'step' ? step.say : id;
}

function grams(plan: Plan | undefined, scale: string | undefined, of: Mass): string {
  const d = scale === undefined ? undefined : plan?.scales[scale]?.d;
  return `${printMass(of, { decimals: d === undefined ? 3 : decimalsOf(d) })} g`;
}
