/** The bench without a screen: one line per happening (`--plain`), or one JSON object per fact (`--json`). */
import { createInterface } from 'node:readline';
import type { Readable } from 'node:stream';
import { cleanText } from '../../facts/cleanText.ts';
import type { Fact } from '../../facts/fact.ts';
import { safeJson } from '../../records/safeJson.ts';
import { cueShown, isSameCue, NO_CUE_SHOWN } from '../../screen/fill/cue.ts';
import { liveViewOf } from '../../screen/fill/live.ts';
import { supplyNotices } from '../../screen/fill/notices.ts';
import type { BenchView } from '../../screen/view.ts';
import type { Cue } from '../../signal/cue.ts';
import type { CueSound } from './cueSound.ts';
import { factLine } from './factLine.ts';
import type { Front, FrontInput } from './workbench.ts';

export interface LineFrontOptions {
  readonly json: boolean;
  readonly input: Readable | undefined;
  /** Prints a line on standard output. */
  readonly print: (line: string) => void;
  /** Prints a line for people beside the facts; with `json` that is standard error. */
  readonly aside: (line: string) => void;
  /** An answer is needed, and the input has ended: nobody can give it. */
  readonly onUnanswerable: () => void;
  /** Says cues aloud; default: silence. */
  readonly sound?: CueSound | undefined;
}

/** Cues as lines, for who listens; that there is far to go the line of the draw has said already. */
const CUE_LINES: Readonly<Record<Cue, string | undefined>> = {
  pour: undefined,
  ease: '~ EASE: slower.',
  drips: '~ DRIPS: drop by drop.',
  stop: '~ STOP: hands off.',
};

/** Whether nothing goes on without an answer. In the band and over a tipped cup time alone goes on too. */
function needsAnswer({ ask, choices, mood }: BenchView): boolean {
  if (mood === 'in-band' || mood === 'tip') return choices.some(({ needed }) => needed === true);
  return ask?.kind === 'number' || choices.some(({ key }) => key === 'Enter');
}

/** What stands below the sentence on the screen, where it bears on a choice, in a hold; and where the batch stands. */
function smallLines({ mood, recap = [], detail, list = [] }: BenchView): readonly string[] {
  if (mood !== 'hold') return recap;
  const lines = list.map((line) =>
    'heading' in line ? `${line.heading}:` : [line.name, line.note, line.amount].filter(Boolean).join(', '),
  );
  return [...recap, ...detail, ...lines];
}

function wordOf({ cue, tooMuch }: typeof NO_CUE_SHOWN): Cue | undefined {
  return tooMuch ? 'stop' : cue;
}

/** Lines of input are keys by their printed names (an empty line is Enter), or a display value for a keyed scale. */
export function openLineFront({ station, controls, labels, leave }: FrontInput, options: LineFrontOptions): Front {
  let lastSaid = '';
  let lastKeys: readonly string[] = [];
  const noted = new Set<string>();
  const lines = options.input && createInterface({ input: options.input });
  lines?.on('line', (line) => {
    const key = line.trim();
    if (controls.press(key === '' ? 'enter' : key)) return;
    const hint = controls.hint(key);
    if (hint !== undefined) {
      options.aside(hint);
      return;
    }
    // A lot's code may be a number; where a weight is asked for, a number is one.
    const isFigure = controls.view().ask?.kind === 'number' && /^[+-]?[\d.,]+\s*g?$/.test(key);
    if (!isFigure && labels.isLabel(key)) {
      options.aside(labels.read(key).say);
      return;
    }
    const wrong = controls.typed(key);
    if (wrong !== undefined) options.aside(wrong);
  });
  let inputEnded = false;
  lines?.on('close', () => {
    inputEnded = true;
    stopIfUnanswerable();
  });
  const stopIfUnanswerable = (): void => {
    const snapshot = station.snapshot();
    if (!inputEnded || snapshot.hasTag('recording') || snapshot.status === 'done') return;
    if (needsAnswer(controls.view())) options.onUnanswerable();
  };

  const keysOf = (view: BenchView) => view.choices.map(({ key, label }) => `[${key}] ${label}`);
  const said = (view: BenchView): string => {
    const ask = view.ask ? ` ${view.ask.prompt}` : '';
    return cleanText(`> ${view.headline}: ${view.say}${ask}`);
  };

  let shown = NO_CUE_SHOWN;
  const sayCue = (): void => {
    const snapshot = station.snapshot();
    if (snapshot.status === 'done' || snapshot.hasTag('recording')) return;
    const next = cueShown(liveViewOf(snapshot, station));
    if (isSameCue(next, shown)) return;
    const before = wordOf(shown);
    shown = next;
    const cue = wordOf(next);
    options.sound?.say(cue);
    const line = cue && CUE_LINES[cue];
    if (line !== undefined && cue !== before && !options.json) options.aside(line);
    sayTrouble();
  };
  let troubleSaid = false;
  const sayTrouble = (): void => {
    const trouble = options.sound?.trouble;
    if (trouble === undefined || troubleSaid) return;
    troubleSaid = true;
    options.aside(`! ${trouble}`);
  };

  return {
    changed() {
      const snapshot = station.snapshot();
      if (snapshot.hasTag('recording')) return;
      if (snapshot.status === 'done') {
        leave();
        return;
      }
      for (const notice of supplyNotices(snapshot)) {
        if (!noted.has(notice)) options.aside(cleanText(`! ${notice}`));
        noted.add(notice);
      }
      const view = controls.view();
      const line = said(view);
      const keys = keysOf(view);
      const more = keys.filter((key) => !lastKeys.includes(key));
      if (line !== lastSaid) {
        for (const small of smallLines(view)) options.aside(cleanText(`  ${small}`));
        options.aside(cleanText(`${line}  ${keys.join('  ')}`));
      } else if (more.length > 0) options.aside(cleanText(`  also: ${more.join('  ')}`)); // the sentence stands
      lastSaid = line;
      lastKeys = keys;
      stopIfUnanswerable();
    },
    live: sayCue,
    told: (say) => options.aside(cleanText(say)),
    facts(facts: readonly Fact[]) {
      const { plan } = station.snapshot().context.batch;
      for (const fact of facts) options.print(options.json ? safeJson(fact) : factLine(fact, plan));
    },
    async close() {
      options.sound?.close();
      lines?.close();
    },
  };
}
