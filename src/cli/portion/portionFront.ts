/** How portioning is shown and how it hears the maker: the screen, lines, or JSON. */
import { createInterface } from 'node:readline';
import type { Readable } from 'node:stream';
import { cleanText } from '../../facts/cleanText.ts';
import type { Fact } from '../../facts/fact.ts';
import type { Plan } from '../../plan/model.ts';
import { safeJson } from '../../records/safeJson.ts';
import type { BenchView, LiveView } from '../../screen/view.ts';
import { factLine } from '../weigh/factLine.ts';
import type { PortionControls } from './portionControls.ts';

export interface PortionFront {
  changed(): void;
  live(): void;
  facts(facts: readonly Fact[]): void;
  close(): Promise<void>;
}

export interface PortionShown {
  readonly controls: PortionControls;
  readonly view: () => BenchView;
  readonly numbers: () => LiveView;
}

export async function openPortionScreen({ controls, view, numbers }: PortionShown): Promise<PortionFront> {
  const { openScreen } = await import('../../screen/openScreen.tsx');
  let shown = '';
  const screen = openScreen({
    stdout: process.stdout,
    stdin: process.stdin,
    environment: process.env,
    first: view(),
    onKey: (input) => {
      if ('key' in input) controls.press(input.key);
    },
    onAnswer: (text) => void controls.typed(text),
  });
  const show = () => {
    const next = view();
    const text = JSON.stringify(next);
    // Words follow the live weight: most readings change none.
    if (text === shown) return false;
    shown = text;
    screen.setView(next);
    return true;
  };
  return {
    changed() {
      show();
      screen.live.set(numbers(), true);
    },
    live() {
      screen.live.set(numbers(), show());
    },
    facts() {},
    close: () => screen.close(),
  };
}

export interface PortionLines {
  readonly json: boolean;
  readonly input: Readable | undefined;
  readonly plan: Plan;
  readonly print: (line: string) => void;
  readonly aside: (line: string) => void;
  /** The input has ended: nobody can say when the bars end. */
  readonly onInputEnd: () => void;
}

/** One line for each fact and each change of what to do; lines of input are keys by their names, an empty one is Enter. */
export function openPortionLines({ controls, view, numbers }: PortionShown, options: PortionLines): PortionFront {
  let last = '';
  const lines = options.input && createInterface({ input: options.input });
  lines?.on('line', (line) => {
    const key = line.trim();
    if (controls.page === 'which' && key !== '' && key !== 'q' && !/^esc/i.test(key)) {
      const wrong = controls.typed(key);
      if (wrong !== undefined) options.aside(wrong);
      return;
    }
    controls.press(key === '' ? 'enter' : /^esc/i.test(key) ? 'escape' : key);
  });
  let closing = false;
  lines?.on('close', () => {
    if (!closing) options.onInputEnd();
  });
  const show = () => {
    // Words follow the live weight: what is said is what holds once it stands still.
    if (numbers().state === 'moving') return;
    const { headline, say, choices, ask } = view();
    const keys = choices.map(({ key, label }) => `[${key}] ${label}`).join('  ');
    const line = cleanText(`> ${headline}: ${say}${ask ? ` ${ask.prompt}` : ''}  ${keys}`);
    if (line === last) return;
    last = line;
    options.aside(line);
  };
  return {
    changed: show,
    live: show,
    facts(facts) {
      for (const fact of facts) options.print(options.json ? safeJson(fact) : factLine(fact, options.plan));
    },
    async close() {
      closing = true;
      lines?.close();
    },
  };
}
