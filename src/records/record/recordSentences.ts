/** The record's sentences: what went otherwise than planned, and the notes beside each draw. */
import { judge, outsideBy } from '../../accept/band.ts';
import type { Deviation, Fact } from '../../facts/fact.ts';
import { causeOfShift, shiftInWords } from '../../facts/shiftInWords.ts';
import { type Mass, plus, size } from '../../mass/mass.ts';
import { printMass } from '../../mass/text.ts';
import { wantedInWords } from '../../plan/inWords.ts';
import type { Plan } from '../../plan/model.ts';
import type { BatchRecord } from './batchRecord.ts';
import { isOutside, measuredInWords } from './measuredInWords.ts';
import { barOtherwise, barsOtherwise } from './recordBars.ts';
import { decimalsOfScale, plannedDraw, type RecordDraw } from './recordDraws.ts';
import { checkInWords, isUnproved } from './recordScales.ts';

/** A mass with its unit, with the decimals of the scale that weighed it. */
export function grams(of: Mass, decimals: number): string {
  return `${printMass(of, { decimals })} g`;
}

/** `Shea butter (A2)`. */
function nameOf(plan: Plan, id: string): string {
  const planned = plannedDraw(plan, id);
  return planned ? `${planned.name} (${id})` : id;
}

/** `melt jug (V1)`. */
export function vesselName(plan: Plan, id: string): string {
  const name = Object.hasOwn(plan.vessels, id) ? plan.vessels[id]?.name : undefined;
  return name && name !== id ? `${name} (${id})` : id;
}

function decimalsAt(plan: Plan, draw: string): number {
  return decimalsOfScale(plan, plannedDraw(plan, draw)?.scale ?? '');
}

/** What is said of one draw: decisions, how its weight came about, its part of a whole, corrections. */
export function notesOf(draw: RecordDraw, { corrections, plan }: Pick<BatchRecord, 'corrections' | 'plan'>): string[] {
  const { takenBack, decimals, way, part } = draw;
  const notes = draw.decisions.map((decision) => decisionOf(draw, decision));
  const unsaid = outsideUnsaid(draw);
  if (unsaid) notes.push(unsaid);
  if (draw.givenUpFor !== null) notes.push(`not in the batch: ${draw.givenUpFor}`);
  if (takenBack > 0) {
    const where = way === 'subtract' ? 'put back into the jar' : `taken back out${RETURNED[draw.returned ?? 'waste']}`;
    notes.push(`over-pour caught: ${grams(takenBack, decimals)} ${where}`);
  }
  if (draw.residue !== null && draw.residue !== 0 && !draw.decisions.some(({ kind }) => kind === 'residue')) {
    notes.push(`${grams(draw.residue, decimals)} stayed in the cup`);
  }
  if (draw.stuck > 0) notes.push(`${grams(draw.stuck, decimals + 1)} of it stuck to vessels on the way`);
  if (way === 'cup' && draw.bowl === null && draw.givenUpFor === null) notes.push('the cup is not tipped yet');
  const unsure = lessSure(draw, plannedDraw(plan, draw.draw)?.uncertainty);
  if (unsure) notes.push(unsure);
  if (draw.doubt !== null) notes.push(doubtOf(draw, draw.doubt));
  if (draw.zeroUnseen !== null) notes.push(ZERO_UNSEEN[draw.zeroUnseen]);
  if (draw.witness !== null) notes.push(`seen by ${draw.witness}`);
  const bench = Object.hasOwn(plan.scales, draw.scale) ? plan.scales[draw.scale]?.bench : undefined;
  if (bench !== undefined) notes.push(`weighed at ${bench}`);
  if (draw.labelRead) notes.push('label of the jar read');
  if (draw.how === 'keyed') notes.push('keyed by hand from the scale');
  if (part) notes.push(`part ${part.index} of ${part.of}`);
  if (draw.lotEnded) notes.push(`lot ${draw.lot} used up`);
  for (const each of corrections) {
    if (draw.seqs.includes(each.corrects)) {
      notes.push(`corrected by fact ${each.seq}, ${each.by}: ${each.note} (${each.reason})`);
    }
  }
  return notes;
}

const RETURNED = { jar: ' and put back into the jar', aside: ' and kept aside', waste: '' } as const;

const ZERO_UNSEEN = {
  restart: 'the batch was left before the empty pan was seen after it: whether the zero moved meanwhile is not known',
  end: 'the empty pan was not seen after it: whether the zero moved meanwhile is not known',
} as const;

/** Told only where the uncertainty matters: where it is more than a third of the half-band, as for the guard band. */
function lessSure(
  { uncertainty, target, low, high, decimals }: RecordDraw,
  planned: Mass | undefined,
): string | undefined {
  if (planned === undefined || uncertainty <= planned) return undefined;
  if (3 * uncertainty <= Math.min(target - low, high - target)) return undefined;
  const show = (of: Mass) => `±${printMass(of, { decimals: decimals + 1, rounding: 'up' })} g`;
  return `less sure than planned: ${show(uncertainty)} instead of ${show(planned)}`;
}

/** What an empty pan said afterwards, and whether the weight might be outside its band by it. */
function doubtOf({ net, low, high, decimals }: RecordDraw, doubt: Mass): string {
  const verdict = judge(plus(net, doubt), { low, high });
  const outside =
    verdict === 'in' || verdict === judge(net, { low, high }) ? '' : `, which would be ${verdict} its band`;
  return `the zero moved: it may be up to ${grams(size(doubt), decimals)} ${doubt > 0 ? 'more' : 'less'}${outside}`;
}

/** A rescue as it stands among the deviations. */
export function scaledUp(by: string, say: string): string {
  return sentence(`Batch scaled up by ${by}: ${say}`);
}

/** A decision as it stands among the deviations. */
export function decisionSentence(plan: Plan, draw: RecordDraw, decision: Deviation): string {
  return sentence(`${nameOf(plan, draw.draw)}: ${decisionOf(draw, decision)}`);
}

function decisionOf(draw: RecordDraw, { kind, reason }: Deviation): string {
  const { net, low, high, residue, decimals, by } = draw;
  if (kind === 'residue') return `${grams(residue ?? net, decimals)} left in the cup, kept by ${by}: ${reason}`;
  const off = grams(outsideBy(net, { low, high }), decimals);
  return `${off} ${kind} its band, kept by ${by}: ${reason}`;
}

/** A weight outside its band without a decision should not be; if it is, the record does not hide it. */
function outsideUnsaid({ net, low, high, decimals, decisions, part }: RecordDraw): string | undefined {
  const verdict = judge(net, { low, high });
  const early = verdict === 'under' && part !== null && part.index < part.of;
  if (verdict === 'in' || early || decisions.some(({ kind }) => kind === verdict)) return undefined;
  return `${grams(outsideBy(net, { low, high }), decimals)} ${verdict} its band, and the log holds no decision on it`;
}

/** Everything that went otherwise than planned, in the order in which it happened. */
export function deviationsOf(record: Omit<BatchRecord, 'deviations'>, facts: readonly Fact[]): string[] {
  const { plan } = record;
  const said: { seq: number; say: string }[] = [];
  for (const draw of [...record.draws, ...record.givenUp]) {
    const seq = draw.seqs[0] ?? 0;
    const name = nameOf(plan, draw.draw);
    const unsaid = outsideUnsaid(draw);
    for (const decision of draw.decisions) said.push({ seq, say: `${name}: ${decisionOf(draw, decision)}` });
    if (unsaid) said.push({ seq, say: `${name}: ${unsaid}` });
  }
  const used = new Set([...record.draws, ...record.givenUp].map(({ scale }) => scale));
  for (const { id, checks } of record.scales) {
    for (const check of checks) {
      if (!used.has(id) || !isUnproved(check)) continue;
      said.push({ seq: 0, say: `The ${id} scale: ${checkInWords(check)}` });
    }
  }
  const takenBack = new Set(facts.flatMap((fact) => (fact.kind === 'undone' ? [fact.corrects] : [])));
  for (const fact of facts) {
    // A shortfall stands and falls with the weight before it.
    if (fact.kind === 'lot-short' && takenBack.has(fact.seq - 1)) continue;
    const say = isOfBar(fact)
      ? barOtherwise(fact, plan, facts)
      : fact.kind === 'undone'
        ? takenBackIn(fact, plan)
        : otherwise(fact, plan);
    if (say) said.push({ seq: fact.seq, say });
    if (fact.kind === 'measured' && isOutside(fact, plan))
      said.push({ seq: fact.seq, say: measuredInWords(fact, plan) });
  }
  const { bars } = record;
  const ended = facts.findLast(({ kind }) => kind === 'portioning-ended');
  if (bars !== null && ended) {
    for (const say of barsOtherwise(bars, plan)) said.push({ seq: ended.seq, say });
  }
  if (record.status === 'finished') {
    const told = new Set(record.draws.map(({ draw }) => draw));
    for (const fact of facts) if (fact.kind === 'split' && fact.nothingYet) told.add(fact.draw); // all of it was the rest
    for (const task of plan.tasks) {
      if (task.kind === 'draw' && !told.has(task.id)) {
        said.push({ seq: record.seal.seq, say: `${task.name} (${task.id}): planned, and not weighed` });
      }
    }
  }
  said.push(...unmeasured(record));
  return said.sort((a, b) => a.seq - b.seq).map(({ say }) => sentence(say));
}

/** Checks that ask for a value and were done, or left out of a finished batch, without one. */
function unmeasured({ plan, status, steps, measured, seal }: Omit<BatchRecord, 'deviations'>) {
  return plan.tasks.flatMap((task) => {
    if (task.kind !== 'step' || !task.measure) return [];
    const isDone = steps.some(({ step, done }) => step === task.id && done !== null);
    if ((!isDone && status !== 'finished') || measured.some(({ step }) => step === task.id)) return [];
    const wanted = wantedInWords(task.measure);
    return [{ seq: seal.seq, say: `step ${task.id}, ${task.step}: no measured value was noted (${wanted})` }];
  });
}

function isOfBar(fact: Fact): fact is Fact & { kind: 'bar' | 'bar-pulled' | 'bar-pressed' } {
  return fact.kind === 'bar' || fact.kind === 'bar-pulled' || fact.kind === 'bar-pressed';
}

function takenBackIn({ corrects, of, id, by }: Fact & { kind: 'undone' }, plan: Plan): string {
  const what = of === 'step-done' ? `step ${id}, done` : `${nameOf(plan, id)}, ${of}`;
  return `${what} (fact ${corrects}): taken back by ${by} right after, and done again`;
}

const SUSPECT = {
  missing: 'was missing',
  twice: 'had gone in twice',
  'from-elsewhere': 'had gone in here',
} as const;

function otherwise(fact: Fact, plan: Plan): string | undefined {
  switch (fact.kind) {
    case 'placed': {
      if (!fact.unusual) return undefined;
      const load = grams(fact.load, decimalsOfScale(plan, fact.scale));
      return `${vesselName(plan, fact.vessel)} weighed ${load}, otherwise than known; ${fact.by} said that it is the right one`;
    }
    case 'zero-shifted':
      return `${shiftInWords(fact, plan)}: ${causeOfShift(fact.shift)}`;
    case 'discarded':
      return `${nameOf(plan, fact.draw)}: ${grams(fact.amount, decimalsAt(plan, fact.draw))} of lot ${fact.lot} thrown away: ${fact.reason}`;
    case 'given-up': {
      const draws = fact.draws.map((draw) => nameOf(plan, draw)).join(', ');
      return `${vesselName(plan, fact.vessel)} given up${draws ? ` with ${draws}` : ''}: ${fact.reason}`;
    }
    case 'lot-short': {
      const show = (of: Mass) => grams(of, decimalsAt(plan, fact.draw));
      return `${nameOf(plan, fact.draw)}: lot ${fact.lot} gave ${show(fact.short)} more than the ${show(fact.book)} that the book had`;
    }
    case 'rescued':
      return scaledUp(fact.by, fact.say);
    case 'split': {
      const why = fact.why === 'full' ? 'no more fitted' : `lot ${plannedDraw(plan, fact.draw)?.lot ?? ''} ended`;
      const into = fact.newVessel ? `, into ${fact.newVessel.name}` : '';
      return `${nameOf(plan, fact.draw)}: ${why}; the rest was drawn as ${fact.rest.id} from lot ${fact.rest.lot}${into}`;
    }
    case 'sum-checked': {
      if (fact.reason === null) return undefined;
      const show = (of: Mass) => grams(of, decimalsOfScale(plan, fact.scale));
      const looks = fact.suspects.map(
        ({ what, draws }) => `${draws.map((id) => nameOf(plan, id)).join(' and ')} ${SUSPECT[what]}`,
      );
      const like = looks.length === 0 ? '' : `, as if ${looks.join(', or ')}`;
      return `${vesselName(plan, fact.vessel)} weighed ${show(fact.found)} where its draws add up to ${show(fact.expected)}${like}; kept by ${fact.by}: ${fact.reason}`;
    }
    case 'jar-weighed': {
      if (fact.reason === null || fact.left === null) return undefined;
      const left = grams(fact.left, decimalsOfScale(plan, fact.scale));
      return `${nameOf(plan, fact.draw)}: ${left} had left the jar of lot ${fact.lot}, otherwise than what came in; kept by ${fact.by}: ${fact.reason}`;
    }
    case 'abandoned':
      return `Batch abandoned: ${fact.reason}`;
    default:
      return undefined;
  }
}

/** What a fact is about, for a correction that names it: `lot RS-03, Red dye stock (B1), weighed`. */
export function aboutFact(fact: Fact | undefined, plan: Plan): string {
  if (!fact) return 'a fact of another batch';
  const what = fact.kind.replaceAll('-', ' ');
  if ('draw' in fact && fact.draw !== null) return `${nameOf(plan, fact.draw)}, ${what}`;
  if ('step' in fact) return `step ${fact.step}, ${what}`;
  if ('bar' in fact) return fact.kind === 'bar' ? `bar ${fact.bar}` : `bar ${fact.bar}, ${what.replace('bar ', '')}`;
  if ('vessel' in fact) return `${vesselName(plan, fact.vessel)}, ${what}`;
  return what;
}

/** With a capital and one full stop at the end. */
function sentence(text: string): string {
  const trimmed = text.trim().replace(/\.$/, '');
  return `${trimmed.charAt(0).toUpperCase()}${trimmed.slice(1)}.`;
}
