/** A scale that nobody knows, and a maker who does what the lines ask, in virtual time. */
import { cp, mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PassThrough } from 'node:stream';
import { scaleTeach } from '../../../src/cli/scale/scaleTeach.ts';
import type { SerialSettings } from '../../../src/wire/profile.ts';
import { createFakeClock } from '../../fakeClock.ts';
import { type WiredScale, wiredScale } from '../../link/wiredScale.ts';

/** What the display shows. */
export interface Shown {
  /** Hundredths of a gram. */
  readonly number: number;
  readonly stable: boolean;
  /** It shows something else than on the line before. */
  readonly isNew: boolean;
  /** Its send key was pressed since. */
  readonly keyPressed: boolean;
}

export interface Strange {
  readonly serial: SerialSettings;
  /** Its line for what the display shows; undefined: it says nothing. */
  readonly speak: (shown: Shown) => string | undefined;
  readonly everyMs?: number;
  readonly question?: string;
  readonly faults?: WiredScale['faults'];
}

export interface TeachRun {
  /** The maker's answer where it is not the usual one. */
  readonly answers?: (asked: string) => string | undefined;
  readonly port?: string;
  readonly name?: string;
  /** Stops the input after this text was asked. */
  readonly endsAt?: RegExp;
  /** In which folder; default: a new one with the demo's workshop. */
  readonly folder?: string;
  /** Called each time that the maker is asked. */
  readonly onAsked?: (asked: string, unplug: () => void) => void;
}

const JAR = 6318;
const CUP = 3146;

/** A workshop of its own, removed by `gone`. */
export async function newWorkshopFolder(): Promise<{ folder: string; gone: () => Promise<void> }> {
  const folder = await mkdtemp(join(tmpdir(), 'bismar-teach-'));
  await cp(new URL('../../../fixtures/demo/workshop.yaml', import.meta.url), join(folder, 'workshop.yaml'));
  return { folder, gone: () => rm(folder, { recursive: true, force: true }) };
}

export async function runTeach(strange: Strange, { folder = '', ...run }: TeachRun = {}) {
  const clock = createFakeClock(10_000);
  let load = 0;
  let tare = 0;
  let touched = false;
  let stirring = false;
  let keyPressed = false;
  let last = Number.NaN;
  let movedAt = 0;
  const pressKey = (): void => {
    keyPressed = true;
  };
  const put = (next: number): void => {
    if (next !== load) movedAt = clock.now();
    load = next;
  };
  const shownNow = (turn: number): Shown => {
    if (stirring) {
      put(turn % 60 < 30 ? JAR : 0);
      if (turn % 30 === 20) keyPressed = true;
    }
    const wobble = touched ? ((turn * 7) % 11) * 13 - 65 : 0;
    const moving = touched || clock.now() - movedAt < 800;
    const number = load - tare + (moving && !touched && load !== 0 ? -((turn % 5) + 3) * 11 : wobble);
    const shown = { number, stable: !moving, isNew: number !== last, keyPressed };
    last = number;
    keyPressed = false;
    return shown;
  };
  const { speak, ...line } = strange;
  const wired = wiredScale({
    clock,
    everyMs: strange.question === undefined ? 100 : undefined,
    ...line,
    line: (turn) => speak(shownNow(turn)),
  } as WiredScale);

  const input = new PassThrough();
  const said: string[] = [];
  const asked: string[] = [];
  let heard = '';
  const usual = (text: string): string => {
    touched = false;
    if (/press the key/.test(text)) {
      for (const ms of /touch/i.test(text) ? [4000, 5500, 7000] : [4000]) clock.setTimeout(pressKey, ms);
    }
    if (/again and again; if it has a key/.test(text)) stirring = true;
    else stirring = false;
    if (/What does the display/.test(text)) return `${((load - tare) / 100).toFixed(2)} g`;
    if (/touch the pan/i.test(text)) {
      touched = true;
      if (/pan empty/.test(text)) tare = load;
    } else if (/tare key/.test(text)) {
      if (load === 0) put(JAR);
      // She waits for the display before and after the key.
      clock.setTimeout(() => {
        tare = load;
      }, 1000);
      clock.setTimeout(() => put(0), 1500);
    } else if (/Put something else/.test(text)) put(CUP);
    else if (/Put something on the pan, wait/.test(text)) put(JAR);
    else if (/Take everything off/.test(text)) {
      tare = 0;
      put(0);
    }
    return '';
  };
  const answer = (): void => {
    // What was said before a numbered question is not part of it.
    const text = heard
      .slice(Math.max(0, heard.search(/^\d+\. (?![\s\S]*^\d+\. )/m)))
      .replace(/\s+/g, ' ')
      .trim();
    const isQuestion = /\((Enter|y|\?)[^()]*\)$|such as g:$|q leaves\.$|until you are told\.$/.test(text);
    if (/with fewer\)$/.test(text)) stirring = true;
    if (!isQuestion || /(nothing to hear|with fewer)\)$/.test(text)) return;
    heard = '';
    asked.push(text);
    run.onAsked?.(text, wired.unplug);
    if (run.endsAt?.test(text)) {
      input.end();
      return;
    }
    const own = run.answers?.(text);
    const typed = own ?? usual(text);
    // She says that it is done once the display stands still.
    clock.setTimeout(() => input.write(`${typed}\n`), 3000);
  };
  const print = (each: string): void => {
    said.push(each);
    if (/^ {3}It sent|^ {3}Nothing came/.test(each)) {
      touched = false;
      heard = '';
    } else if (/^ {3}Listening/.test(each)) heard = '';
    else heard += `${each}\n`;
  };
  const running = scaleTeach(
    run.name ?? 'kitchen-scale',
    { in: folder, port: run.port ?? '/dev/ttyUSB0' },
    { input, print, openPort: wired.openPort, clock },
  ).catch((error: unknown) => error as Error);
  let ended: number | Error | undefined;
  running.then((result) => {
    ended = result;
  });
  for (let passed = 0; ended === undefined; passed += 50) {
    if (passed > 3_600_000) throw new Error(`the teaching does not end:\n${said.slice(-30).join('\n')}`);
    await clock.advance(50);
    answer();
  }
  return {
    result: ended,
    said,
    text: said.join('\n').replace(/\s+/g, ' '),
    asked,
    told: wired.told,
    opened: wired.opened,
  };
}
