/** The talk with the maker while a scale is taught: plain lines out, typed lines in; she may leave at any time. */
import { createInterface } from 'node:readline';
import type { Readable } from 'node:stream';
import { cleanText } from '../../facts/cleanText.ts';
import { wrapText } from '../../plan/wrapText.ts';
import { Left } from './checkPan.ts';

export interface TeachTalk {
  /** Says a text, wrapped for a terminal of 80 columns. @param lead what stands before its first line */
  say(text: string, lead?: string): void;
  /** Prints one line as it is, cleaned. */
  print(line: string): void;
  /** Says a text and waits for a typed line; what was typed before is dropped. Throws `Left` when she leaves. */
  ask(text: string, lead?: string): Promise<string>;
  /**
   * Waits for work that takes its time. She may leave meanwhile: the work is then told to end, and waited for.
   * @param work gets a signal that tells it to end
   * @param enterEnds Enter ends it, too, without leaving
   */
  during<T>(work: (signal: AbortSignal) => Promise<T>, enterEnds?: boolean): Promise<T>;
  close(): void;
}

const WIDTH = 78;

/** @param print prints one line */
export function openTalk(input: Readable, print: (line: string) => void): TeachTalk {
  const lines = createInterface({ input });
  let hear: ((line: string | undefined) => void) | undefined;
  let ended = false;
  lines.on('line', (line) => hear?.(line.trim()));
  lines.on('close', () => {
    ended = true;
    hear?.(undefined);
  });

  const isLeaving = (line: string | undefined): boolean => line === undefined || /^(q|quit)$/i.test(line);
  const show = (line: string): void => print(cleanText(line));
  const say = (text: string, lead = ''): void => {
    for (const line of wrapText(cleanText(text), lead, WIDTH)) show(line);
  };

  return {
    say,
    print: show,
    async ask(text, lead) {
      if (ended) throw new Left();
      const typed = new Promise<string | undefined>((resolve) => {
        hear = resolve;
      });
      say(text, lead);
      const line = await typed;
      hear = undefined;
      if (line === undefined || isLeaving(line)) throw new Left();
      return line;
    },
    async during(work, enterEnds = false) {
      const stop = new AbortController();
      let left = ended;
      hear = (line) => {
        if (isLeaving(line)) left = true;
        if (left || enterEnds) stop.abort();
      };
      if (left) stop.abort();
      const result = await work(stop.signal).catch((error: unknown) => {
        if (!left) throw error;
        throw new Left();
      });
      hear = undefined;
      if (left) throw new Left();
      return result;
    },
    close: () => lines.close(),
  };
}
