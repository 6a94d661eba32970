/** What went in too much, from which lot, on which scale, and what was done about it: the first thing a record must say. */
import { outsideBy } from '../../accept/band.ts';
import { minus } from '../../mass/mass.ts';
import type { BatchRecord } from './batchRecord.ts';
import { decimalsOfScale, type RecordDraw } from './recordDraws.ts';
import type { OverPour } from './recordOverPours.ts';
import { decisionSentence, grams, scaledUp, vesselName } from './recordSentences.ts';
import { clock } from './recordWords.ts';

export interface TooMuch {
  readonly draw: string;
  /** When it was seen. */
  readonly at: string;
  readonly say: string;
}

/** In the order in which it was seen, each a few sentences. */
export function tooMuchIn(record: BatchRecord): readonly TooMuch[] {
  const seen = record.overPours.map((pour) => ({ draw: pour.draw, at: pour.at, say: pouredOver(pour, record) }));
  const held = new Set(record.overPours.map(({ draw }) => draw));
  const accepted = [...record.draws, ...record.givenUp].flatMap((draw) => {
    const kept = draw.decisions.find(({ kind }) => kind === 'over');
    if (!kept || held.has(draw.draw)) return [];
    const over = grams(outsideBy(draw.net, draw), draw.decimals);
    const say = `${headOf(draw, draw.name, record)}: ${grams(draw.net, draw.decimals)}, ${over} more than its band allows. It was kept by ${draw.by}: ${stopped(kept.reason)}`;
    return [{ draw: draw.draw, at: draw.at, say }];
  });
  return [...seen, ...accepted].sort((a, b) => Date.parse(a.at) - Date.parse(b.at));
}

/** The deviations that these sentences tell already. */
export function toldAsTooMuch(record: BatchRecord): ReadonlySet<string> {
  const told = new Set<string>();
  for (const draw of [...record.draws, ...record.givenUp]) {
    for (const decision of draw.decisions) {
      if (decision.kind === 'over') told.add(decisionSentence(record.plan, draw, decision));
    }
  }
  for (const { end, why, endedBy } of record.overPours) {
    if (end === 'batch scaled up') told.add(scaledUp(endedBy ?? '', why ?? ''));
  }
  return told;
}

function headOf(
  { draw, lot, scale, at, by }: Pick<RecordDraw, 'draw' | 'lot' | 'scale' | 'at' | 'by'>,
  name: string,
  record: BatchRecord,
): string {
  return `${name} (${draw}), lot ${lot}, on the ${scale} scale at ${clock(at, record)}, ${by}`;
}

function pouredOver(pour: OverPour, record: BatchRecord): string {
  const { net, over } = pour;
  const decimals = decimalsOfScale(record.plan, pour.scale);
  const high = grams(minus(net, over), decimals);
  const much = `${grams(net, decimals)}, ${grams(over, decimals)} more than the ${high} that its band allows`;
  return `${headOf(pour, pour.name, record)}: ${much}. ${whatWasDone(pour, record)}`;
}

function whatWasDone({ draw, scale, end, why, at, ended, endedBy, net }: OverPour, record: BatchRecord): string {
  const decimals = decimalsOfScale(record.plan, scale);
  const because = why === null ? '.' : `: ${stopped(why)}`;
  const weighed = [...record.givenUp, ...record.draws].findLast((each) => each.draw === draw && each.at === ended);
  switch (end) {
    case 'taken back': {
      if (!weighed) return 'It was taken back.';
      const { way, vessel } = weighed;
      const where =
        way === 'subtract' ? 'put back into its jar' : `taken back out of ${vesselOf(weighed, vessel, record)}`;
      const most = weighed.takenBack > 0 ? weighed.takenBack : minus(net, weighed.net);
      return `${grams(most, decimals)} was ${where}; ${grams(weighed.net, decimals)} was accepted, in its band.`;
    }
    case 'kept':
      return `It was kept by ${endedBy}${because}`;
    case 'batch scaled up':
      return `${endedBy} had the batch made larger so that it is right${because}`;
    case 'thrown away': {
      const bin = record.discarded.find((each) => each.draw === draw && each.at === ended);
      return bin
        ? `${grams(bin.amount, decimals)} of lot ${bin.lot} was thrown away by ${bin.by}${because}`
        : `It was thrown away${because}`;
    }
    case 'vessel given up':
      return `Its vessel was given up with all that was in it${because}`;
    case 'open':
      return `Nothing has been done about it since ${clock(at, record)}.`;
  }
}

function vesselOf({ way }: RecordDraw, vessel: string, { plan }: BatchRecord): string {
  return way === 'cup' ? 'the cup, before it was tipped' : vesselName(plan, vessel);
}

function stopped(text: string): string {
  return `${text.trim().replace(/\.$/, '')}.`;
}
