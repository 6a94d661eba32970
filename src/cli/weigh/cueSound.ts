/**
 * Cues aloud: the terminal's bell, or a program that the maker names. A sound never holds up the screen, and where there
 * is none to be had that is said once.
 */
import { type ChildProcess, spawn } from 'node:child_process';
import { cleanText } from '../../facts/cleanText.ts';
import type { Clock } from '../../signal/clock.ts';
import type { Cue } from '../../signal/cue.ts';
import type { CueSoundWish } from '../../workshop/model.ts';

export interface CueSound {
  /** Says a cue, if it is another than the last. */
  say(cue: Cue | undefined): void;
  /** One sentence, once a sound could not be made; then it is not tried again. */
  readonly trouble: string | undefined;
  close(): void;
}

const BELL = '\x07';
/** So many strokes: the nearer, the more. To go on pouring needs none. */
const STROKES: Readonly<Record<Cue, number>> = { pour: 0, ease: 1, drips: 2, stop: 3 };
const STROKE_MS = 160;
/** A sound that lasts longer is ended. */
const LONGEST_MS = 5000;

export interface SoundSurroundings {
  /** The workshop's folder, where the program is run. */
  readonly folder: string;
  readonly clock: Clock;
  /** Writes to the terminal. */
  readonly write: (text: string) => void;
}

export function createCueSound(wish: CueSoundWish, surroundings: SoundSurroundings): CueSound {
  return wish === 'bell' ? bell(surroundings) : program(wish.run, surroundings);
}

/** Tells changes only. */
function onChange(told: (cue: Cue) => void): (cue: Cue | undefined) => void {
  let last: Cue | undefined;
  return (cue) => {
    if (cue === last) return;
    last = cue;
    if (cue !== undefined) told(cue);
  };
}

function bell({ clock, write }: SoundSurroundings): CueSound {
  let waiting: unknown[] = [];
  const hush = () => {
    for (const timer of waiting) clock.clearTimeout(timer);
    waiting = [];
  };
  return {
    say: onChange((cue) => {
      hush();
      for (let stroke = 0; stroke < STROKES[cue]; stroke++) {
        if (stroke === 0) write(BELL);
        else waiting.push(clock.setTimeout(() => write(BELL), stroke * STROKE_MS));
      }
    }),
    trouble: undefined,
    close: hush,
  };
}

/** Runs `[program, ...arguments]` without a shell; `{cue}` in an argument becomes the cue's word. */
function program([name = '', ...args]: readonly string[], { folder }: SoundSurroundings): CueSound {
  let running: ChildProcess | undefined;
  let trouble: string | undefined;
  const failed = (why: string) => {
    trouble ??= cleanText(
      `No sound for the cues: ${name} ${why}. They are on the screen; mend \`cue sound\` in workshop.yaml.`,
    );
  };
  const run = (cue: Cue): void => {
    running?.kill(); // the last word counts
    const asked = args.map((each) => each.replaceAll('{cue}', cue));
    try {
      const child = spawn(name, asked, {
        cwd: folder,
        stdio: 'ignore',
        shell: false,
        timeout: LONGEST_MS,
        windowsHide: true,
      });
      running = child;
      child.on('error', () => failed('can not be run'));
      child.on('exit', (code) => {
        if (code !== null && code !== 0) failed(`ended with the number ${code}`);
        if (running === child) running = undefined;
      });
      child.unref();
    } catch {
      failed('can not be run');
    }
  };
  return {
    say: onChange((cue) => {
      if (trouble === undefined) run(cue);
    }),
    get trouble() {
      return trouble;
    },
    close: () => void running?.kill(),
  };
}
