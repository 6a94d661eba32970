/** The bench without a screen: one line per happening (`--plain`), or one JSON object per fact (`--json`). */
import { createInterface } from 'node:readline';
import type { Readable } from 'node:stream';
import { cleanText } from '../facts/cleanText.ts';
import type { Fact } from '../facts/fact.ts';
import { safeJson } from '../records/safeJson.ts';
import { supplyNotices } from '../screen/fill/notices.ts';
import type { BenchView } from '../screen/view.ts';
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
}

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

/** Lines of input are keys by their printed names (an empty line is Enter), or a display value for a keyed scale. */
export function openLineFront({ station, controls, labels, leave }: FrontInput, options: LineFrontOptions): Front {
  let lastSaid = '';
  const noted = new Set<string>();
  const lines = options.input && createInterface({ input: options.input });
  lines?.on('line', (line) => {
    const key = line.trim();
    if (controls.press(key === '' ? 'enter' : key)) return;
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

  const said = (view: BenchView): string => {
    const choices = view.choices.map(({ key, label }) => `[${key}] ${label}`).join('  ');
    const ask = view.ask ? ` ${view.ask.prompt}` : '';
    return cleanText(`> ${view.headline}: ${view.say}${ask}  ${choices}`);
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
      const line = said(controls.view());
      if (line !== lastSaid) {
        for (const small of smallLines(controls.view())) options.aside(cleanText(`  ${small}`));
        options.aside(line);
      }
      lastSaid = line;
      stopIfUnanswerable();
    },
    live() {},
    told: (say) => options.aside(cleanText(say)),
    facts(facts: readonly Fact[]) {
      const { plan } = station.snapshot().context.batch;
      for (const fact of facts) options.print(options.json ? safeJson(fact) : factLine(fact, plan));
    },
    async close() {
      lines?.close();
    },
  };
}
