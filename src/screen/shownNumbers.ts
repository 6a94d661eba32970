/** Which numbers of a live view may be shown, as text. The one place that turns a number that is too old to dashes. */
import { judge, type Verdict } from '../accept/band.ts';
import { decimalsOf, printMass } from '../mass/text.ts';
import { type LiveView, type PanState, wordsFor } from './view.ts';

/** Stands for every number that is not known now. */
export const NO_NUMBER = '---';

/** What is written over or beside the large number. */
export interface LargeNumber {
  readonly text: string;
  readonly caption: string;
  readonly known: boolean;
  /** Where the net weight is now; undefined when it is not known or there is no band. */
  readonly verdict: Verdict | undefined;
}

/** The large number of a draw: what remains. Undefined when the draw has none. */
export function largeNumber(live: LiveView): LargeNumber | undefined {
  if (live.remaining === undefined) return undefined;
  const { toGo } = wordsFor(live.way);
  if (!live.fresh) return { text: NO_NUMBER, caption: live.caption ?? toGo, known: false, verdict: undefined };
  const verdict = live.lane && judge(live.lane.net, live.lane);
  const text = verdict === 'over' ? (live.takeBack ?? live.remaining) : live.remaining;
  return { text, caption: live.caption ?? usualCaption(live, verdict), known: true, verdict };
}

/** Over the band is said at once, also while it still moves and the chart waits for it to come to rest. */
function usualCaption({ remaining, takeBack, way, cue }: LiveView, verdict: Verdict | undefined): string {
  if (verdict === 'over' && takeBack !== undefined) return way === 'subtract' ? ' TAP BACK ' : ' TAKE BACK OUT ';
  if (verdict === 'over') return ' OVER THE BAND ';
  if (cue === 'stop') return ' STOP ';
  if (cue !== undefined) return `${cue.toUpperCase()} ${wordsFor(way).toGo}`;
  if (remaining?.startsWith('-')) return 'over the target';
  return verdict === 'in' ? 'to the target' : wordsFor(way).toGo;
}

/** How the words above the large number stand out: the nearer to the end, the more. */
export function brightnessOf(
  { cue, fresh }: LiveView,
  verdict: Verdict | undefined,
): 'dim' | 'plain' | 'bold' | 'inverse' {
  if (verdict === 'over' || (fresh && cue === 'stop')) return 'inverse';
  if (!fresh || cue === undefined || cue === 'drips') return 'bold';
  return cue === 'ease' ? 'plain' : 'dim';
}

/** A number with its unit, or dashes. */
function shown(number: string | undefined, { unit, fresh }: LiveView): string {
  return fresh && number !== undefined ? `${number} ${unit}` : NO_NUMBER;
}

const STATE_WORDS: Readonly<Record<PanState, string>> = {
  settled: 'settled',
  moving: 'moving',
  silent: 'silent',
  trouble: 'in trouble',
  off: '',
};

/** A small number with its name; `columns` is what it may take, so that its neighbours stay where they are. */
export interface SmallNumber {
  readonly name: 'caption' | 'target' | 'net' | 'gross' | 'state' | 'last';
  readonly text: string;
  readonly columns: number;
}

/**
 * The line of small numbers above the large one. The target is no reading: it stays when the scale is silent.
 * @param columns what the line may take; what does not fit at the end is left out
 */
export function smallNumbers(live: LiveView, caption: string, columns: number): SmallNumber[] {
  const all: SmallNumber[] = caption === '' && !live.lane ? [] : [{ name: 'caption', text: caption, columns: 20 }];
  if (live.lane && columns >= 100) {
    const target = printMass(live.lane.target, { decimals: decimalsOf(live.lane.d) });
    all.push({ name: 'target', text: `target ${target} g`, columns: 19 });
  }
  if (live.net !== undefined)
    all.push({ name: 'net', text: `${wordsFor(live.way).net} ${shown(live.net, live)}`, columns: 16 });
  if (live.state !== 'off') {
    const scale = live.scaleName.replace(/ scale$/, '');
    all.push({ name: 'gross', text: `on ${scale} ${shown(live.gross, live)}`, columns: 19 });
    all.push({ name: 'state', text: STATE_WORDS[live.state], columns: 11 });
    // Garbage on the line is rare and matters more than the flow.
    if (live.refused > 0) all.push({ name: 'last', text: `${live.refused} unread`, columns: 12 });
    else if (live.landing !== undefined && live.fresh) {
      all.push({ name: 'last', text: `lands ${live.landing}`, columns: 12 });
    } else if (live.flow !== undefined && live.fresh) all.push({ name: 'last', text: live.flow, columns: 12 });
  }
  let left = columns;
  return all.filter((number) => {
    left -= number.columns;
    return left >= 0;
  });
}

/** The longest text that `remaining` will have in this draw as long as it is not far over: that of the whole target. */
export function widestRemaining(live: LiveView): string {
  return live.lane ? printMass(live.lane.target, { decimals: decimalsOf(live.lane.d) }) : '';
}
