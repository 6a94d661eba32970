/**
 * The way to one scale. It opens the port, splits and decodes lines, asks scales that must be asked, and opens the
 * port again whenever readings stop coming. It trusts fresh lines, never the port's own word that it is open: a
 * port that has hung up may not tell.
 */
import { cleanText, cutToWidth } from '../facts/cleanText.ts';
import { decode } from '../wire/decode.ts';
import { ENDING_TEXT, type Profile } from '../wire/profile.ts';
import type { LinkState, ScaleSource, SourceEvent } from '../wire/reading.ts';
import { type Clock, realClock } from './clock.ts';
import { createLineSplitter, type LineSplitter } from './lineSplitter.ts';
import type { OpenPort, Port } from './port.ts';
import { portTrouble } from './portTrouble.ts';

export interface SerialLinkSettings {
  /** Id of the scale. */
  readonly scale: string;
  readonly path: string;
  readonly profile: Profile;
  readonly openPort: OpenPort;
  readonly clock?: Clock;
  /** Hears every complete line as it came, Latin-1, for a raw log. Not cleaned: do not print it. */
  readonly onRaw?: (line: string, at: number) => void;
}

/** A scale that should speak is given up after so long without a complete line, and its port opened anew. */
export const GIVE_UP_MS = 5000;
/** How often a quiet port is looked at. */
const LOOK_MS = 1000;
export const FIRST_BACK_OFF_MS = 250;
export const LONGEST_BACK_OFF_MS = 5000;
/** A lock can outlive the program that held it for a moment: it is told only after so long. */
export const PATIENCE_WITH_LOCK_MS = 2000;
/** Closing a port that has hung up may never end. */
const LONGEST_CLOSE_MS = 1000;

/**
 * Makes the link; nothing happens before `start`.
 *
 * Told link states: `opening` once; `open`; `lost` when it was open and readings stopped, `failed` when it can't be
 * opened (both with a sentence, and it keeps trying); `closed` after `stop`. After a silence, `open` is told by the
 * first line, not by the port.
 */
export function createSerialLink(settings: SerialLinkSettings): ScaleSource {
  const { scale, path, profile, openPort, clock = realClock, onRaw } = settings;
  let tell: (event: SourceEvent) => void = () => {};
  /** Counts openings; whatever an earlier one still says is ignored. */
  let generation = 0;
  let port: Port | undefined;
  let splitter: LineSplitter | undefined;
  let pending: Promise<unknown> = Promise.resolve();
  let backOff = FIRST_BACK_OFF_MS;
  let lockedSince: number | undefined;
  let lastLine = 0;
  let silenced = false;
  let noisy = false;
  let asking = false;
  let told = '';
  const timers = new Map<'reopen' | 'watch' | 'ask', unknown>();

  const after = (name: 'reopen' | 'watch' | 'ask', ms: number, run: () => void): void => {
    clock.clearTimeout(timers.get(name));
    timers.set(name, clock.setTimeout(run, ms));
  };
  const atMost = (ms: number, work: Promise<unknown>): Promise<void> =>
    new Promise((resolve) => {
      const timer = clock.setTimeout(resolve, ms);
      const done = (): void => {
        clock.clearTimeout(timer);
        resolve();
      };
      work.then(done, done);
    });

  const tellLink = (state: LinkState, say?: string): void => {
    const what = `${state} ${say ?? ''}`;
    if (what === told) return;
    told = what;
    tell({ kind: 'link', state, ...(say === undefined ? {} : { say }), at: clock.now() });
  };

  /** Leaves the present port, whatever state it is in. */
  const leave = (): void => {
    generation += 1;
    for (const timer of timers.values()) clock.clearTimeout(timer);
    splitter?.end();
    splitter = undefined;
    const old = port;
    port = undefined;
    asking = false;
    if (old) pending = atMost(LONGEST_CLOSE_MS, old.close());
  };

  const reopenLater = (): void => {
    after('reopen', backOff, open);
    backOff = Math.min(backOff * 2, LONGEST_BACK_OFF_MS);
  };

  const lose = (say: string): void => {
    leave();
    tellLink('lost', say);
    reopenLater();
  };

  const onLine = (line: string, at: number): void => {
    onRaw?.(line, at);
    lastLine = at;
    backOff = FIRST_BACK_OFF_MS;
    noisy = false;
    if (silenced) {
      silenced = false;
      tellLink('open');
    }
    tell(decode(profile, line, at));
  };

  const onNoise = (at: number): void => {
    if (noisy) return;
    noisy = true;
    const why = `many bytes and no line ending: is the speed (${profile.serial.baud} baud) or the profile "${profile.id}" wrong?`;
    tell({ kind: 'refused', why, at, raw: '' });
  };

  /** Looks now and then whether lines have come. */
  const watch = (mine: number): void => {
    const quietSoFar = clock.now() - lastLine;
    // The next whole second of quiet: so that giving up, too, comes when it should.
    after('watch', LOOK_MS - (quietSoFar % LOOK_MS), () => {
      const quietMs = clock.now() - lastLine;
      if (quietMs < LOOK_MS) watch(mine);
      // A scale that speaks on change only may be quiet for hours; but its device must be there.
      else if (quietMs < GIVE_UP_MS || profile.rhythm === 'on-change') lookForDevice(mine);
      else giveUp();
    });
  };

  const giveUp = (): void => {
    silenced = true;
    backOff = FIRST_BACK_OFF_MS; // the port could be opened: it is the scale that is off, and may come on any time
    lose(
      `The scale "${scale}" has sent nothing for ${GIVE_UP_MS / 1000} s. What is recorded is safe. Is it switched on? This goes on by itself when it speaks again.`,
    );
  };

  /** A port that has hung up without a word may still be known by its device file, which is gone. */
  const lookForDevice = (mine: number): void => {
    void (port?.present?.() ?? Promise.resolve(true)).then((isThere) => {
      if (mine !== generation) return;
      if (isThere) watch(mine);
      else lose(gone());
    });
  };

  const gone = (): string =>
    `The scale "${scale}" is gone from its port ${cutToWidth(cleanText(path), 60)}: cable pulled or power lost. What is recorded is safe. Plug it in; this goes on by itself.`;

  const ask = (mine: number, send: string, everyMs: number): void => {
    if (!asking) {
      asking = true;
      const answered = (): void => {
        if (mine === generation) asking = false;
      };
      port?.write(send + ENDING_TEXT[profile.ending]).then(answered, answered);
    }
    after('ask', everyMs, () => ask(mine, send, everyMs));
  };

  const opened = (mine: number, fresh: Port): void => {
    port = fresh;
    lockedSince = undefined;
    lastLine = clock.now();
    if (!silenced) tellLink('open');
    watch(mine);
    if (profile.ask) ask(mine, profile.ask.send, profile.ask.everyMs);
  };

  const failed = (error: unknown): void => {
    const { kind, say } = portTrouble(error, cutToWidth(cleanText(path), 60));
    if (kind === 'busy') {
      lockedSince ??= clock.now();
      if (clock.now() - lockedSince < PATIENCE_WITH_LOCK_MS) {
        after('reopen', FIRST_BACK_OFF_MS, open);
        return;
      }
    } else {
      lockedSince = undefined;
    }
    silenced = false;
    tellLink('failed', say);
    reopenLater();
  };

  const open = (): void => {
    generation += 1;
    const mine = generation;
    const lines = createLineSplitter(profile.ending, onLine, onNoise);
    splitter = lines;
    const opening = openPort(path, profile.serial, {
      data: (chunk) => {
        if (mine === generation) lines.write(chunk, clock.now());
      },
      closed: () => {
        if (mine === generation) lose(gone());
      },
      error: () => {}, // what matters ends in `closed` or in silence
    });
    pending = opening.then(
      (fresh) => (mine === generation ? opened(mine, fresh) : fresh.close().catch(() => {})),
      (error: unknown) => {
        if (mine === generation) failed(error);
      },
    );
  };

  return {
    scale,
    start(listener) {
      tell = listener;
      told = '';
      silenced = false;
      backOff = FIRST_BACK_OFF_MS;
      tellLink('opening');
      open();
    },
    async stop() {
      const opening = pending;
      leave();
      await atMost(LONGEST_CLOSE_MS, Promise.all([opening, pending]));
      tellLink('closed');
      tell = () => {};
    },
  };
}
