/** Which numbers of a live view may be shown, as text. The one place that turns a number that is too old to dashes. */
import { decimalsOf, printMass } from '../mass/text.ts';
import { type LiveView, type PanState, wordsFor } from './view.ts';

/** Stands for every number that is not known now. */
export const NO_NUMBER = '---';

/** What is written over or beside the large number. */
export interface LargeNumber {
  readonly text: string;
  readonly caption: string;
  readonly known: boolean;
}

/** The large number of a draw: what remains. Undefined when the draw has none. */
export function largeNumber(live: LiveView): LargeNumber | undefined {
  if (live.remaining === undefined) return undefined;
  const words = wordsFor(live.way);
  const inBand = live.lane !== undefined && live.lane.net >= live.lane.low && live.lane.net <= live.lane.high;
  const minus = live.remaining.startsWith('-');
  if (!live.fresh) return { text: NO_NUMBER, caption: live.caption ?? words.toGo, known: false };
  const usual = inBand ? (minus ? 'over the target' : 'to the target') : minus ? words.tooMuch : words.toGo;
  return { text: live.remaining, caption: live.caption ?? usual, known: true };
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

/** A row of the panel beside the large number. */
export interface PanelRow {
  readonly name: string;
  readonly value: string;
}

/** The numbers beside the large one. The target is no reading: it stays when the scale is silent. */
export function panelRows(live: LiveView): PanelRow[] {
  const rows: PanelRow[] = [];
  if (live.lane) {
    rows.push({ name: 'target', value: `${printMass(live.lane.target, { decimals: decimalsOf(live.lane.d) })} g` });
  }
  if (live.net !== undefined) rows.push({ name: wordsFor(live.way).net, value: shown(live.net, live) });
  if (live.state !== 'off') {
    rows.push({ name: `on ${live.scaleName.replace(/ scale$/, '')}`, value: shown(live.gross, live) });
    if (live.flow !== undefined && live.fresh) rows.push({ name: 'flow', value: live.flow });
    rows.push({ name: 'now', value: STATE_WORDS[live.state] });
  }
  if (live.refused > 0) rows.push({ name: 'unread', value: `${live.refused} lines` });
  return rows;
}

/** The longest text that `remaining` will have in this draw as long as it is not far over: that of the whole target. */
export function widestRemaining(live: LiveView): string {
  return live.lane ? printMass(live.lane.target, { decimals: decimalsOf(live.lane.d) }) : '';
}
