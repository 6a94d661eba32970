/** A form on the terminal: plain lines out, typed lines in. Lines that come early, as from a pipe, wait for their question. */
import { createInterface } from 'node:readline';
import type { Readable } from 'node:stream';
import { cleanText } from '../../facts/cleanText.ts';
import { wrapText } from '../../plan/wrapText.ts';

/** The maker left, or the input has ended. */
export class FormLeft extends Error {}

export interface FormTalk {
  /** Says a text, wrapped for a terminal of 80 columns. */
  say(text: string, lead?: string): void;
  /** Says a text and waits for a line. @throws FormLeft when she leaves by `q`, or the input has ended */
  ask(text: string): Promise<string>;
  close(): void;
}

const WIDTH = 78;

export function openForm(input: Readable, print: (line: string) => void): FormTalk {
  const reader = createInterface({ input });
  const waiting: string[] = [];
  let hear: (() => void) | undefined;
  let ended = false;
  reader.on('line', (line) => {
    waiting.push(line.trim());
    hear?.();
  });
  reader.on('close', () => {
    ended = true;
    hear?.();
  });
  const say = (text: string, lead = ''): void => {
    for (const line of wrapText(cleanText(text), lead, WIDTH)) print(cleanText(line));
  };
  return {
    say,
    async ask(text) {
      say(text, '? ');
      while (waiting.length === 0 && !ended) {
        await new Promise<void>((resolve) => {
          hear = resolve;
        });
      }
      const line = waiting.shift();
      if (line === undefined || /^(q|quit)$/i.test(line)) throw new FormLeft();
      return cleanText(line);
    },
    close: () => reader.close(),
  };
}
