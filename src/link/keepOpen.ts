/**
 * Keeps the way to one scale open, whatever it is made of: opens it, opens it again whenever readings stop coming, and
 * tells in words how it stands. It trusts fresh lines, never a port's own word that it is open: a port that has hung
 * up may not tell.
 */
import type { Decoded, LinkState, ScaleSource, SourceEvent } from '../wire/reading.ts';
import type { Clock } from './clock.ts';
import type { Port, PortEvents } from './port.ts';
import type { PortTrouble } from './portTrouble.ts';

/** A scale that should speak is given up after so long without a complete line, and its port opened anew. */
export const GIVE_UP_MS = 5000;
/** How often a quiet port is looked at. */
const LOOK_MS = 1000;
export const FIRST_BACK_OFF_MS = 250;
export const LONGEST_BACK_OFF_MS = 5000;
/** A lock can outlive the program that held it for a moment: it is told only after so long. */
export const PATIENCE_WITH_LOCK_MS = 2000;
/** A port that may be the right one is listened to for so long. */
export const TRIAL_MS = 4000;
/** Closing a port that has hung up may never end. */
const LONGEST_CLOSE_MS = 1000;

/** One opening that worked. */
export interface Opened {
  readonly port: Port;
  /** True when only what it sends can prove that it is the right one: nothing is told until it is accepted. */
  readonly onTrial: boolean;
  /** What to tell when it is the right one: that it has another name now. */
  readonly say?: string | undefined;
}

/** What takes the bytes of one opening; made anew for each, so that half a line never joins a new one. */
export interface Receiver {
  opened(port: Port, onTrial: boolean): void;
  write(chunk: Uint8Array, at: number): void;
  /** Nothing more comes, nothing more may be told. */
  end(): void;
}

/** What a receiver tells. */
export interface Voice {
  /** A whole line or report came, understood or not. Always before it is told. */
  heard(at: number): void;
  tell(event: Decoded): void;
  /** A port on trial is the right one. */
  accept(): void;
  /** A port on trial is not. */
  reject(say?: string): void;
}

/** What is particular about the way to one scale. */
export interface Way {
  readonly scale: string;
  readonly clock: Clock;
  /** True for a scale that speaks on change only: it may be quiet for hours. */
  readonly mayBeQuiet: boolean;
  open(hear: PortEvents): Promise<Opened>;
  receiver(voice: Voice): Receiver;
  /** An opening has ended, by itself or by us. */
  left?(): void;
  trouble(error: unknown): PortTrouble;
  /** The sentence for a way that has closed by itself. */
  gone(): string;
}

/**
 * Makes the source; nothing happens before `start`.
 *
 * Told link states: `opening` once; `open`; `lost` when it was open and readings stopped, `failed` when it can't be
 * opened (both with a sentence, and it keeps trying); `closed` after `stop`. After a silence, `open` is told by the
 * first line, not by the port. Between two openings there is always `lost` or `failed`: no reading ever follows a gap
 * without it.
 */
export function keepOpen(way: Way): ScaleSource {
  const { scale, clock } = way;
  let tell: (event: SourceEvent) => void = () => {};
  /** Counts openings; whatever an earlier one still says is ignored. */
  let generation = 0;
  let now: { readonly opened: Opened; onTrial: boolean } | undefined;
  let receiver: Receiver | undefined;
  let pending: Promise<unknown> = Promise.resolve();
  let backOff = FIRST_BACK_OFF_MS;
  let lockedSince: number | undefined;
  let lastHeard = 0;
  let silenced = false;
  let told = '';
  const timers = new Map<'reopen' | 'watch', unknown>();

  const after = (name: 'reopen' | 'watch', ms: number, run: () => void): void => {
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

  /** Whoever hears it may stop the link at once: so timers are set before, never after. */
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
    receiver?.end();
    receiver = undefined;
    const old = now?.opened.port;
    now = undefined;
    way.left?.();
    if (old) pending = atMost(LONGEST_CLOSE_MS, old.close());
  };

  const reopenLater = (): void => {
    after('reopen', backOff, open);
    backOff = Math.min(backOff * 2, LONGEST_BACK_OFF_MS);
  };

  const lose = (say: string): void => {
    leave();
    reopenLater();
    tellLink('lost', say);
  };

  const accept = (): void => {
    if (!now?.onTrial) return;
    now.onTrial = false;
    backOff = FIRST_BACK_OFF_MS;
    silenced = false;
    watch(generation);
    tellLink('open', now.opened.say);
  };

  const reject = (say?: string): void => {
    if (!now?.onTrial) return;
    leave();
    reopenLater();
    if (say !== undefined) tellLink('failed', say);
  };

  const heard = (at: number): void => {
    lastHeard = at;
    if (now?.onTrial) return;
    backOff = FIRST_BACK_OFF_MS;
    if (!silenced) return;
    silenced = false;
    tellLink('open', now?.opened.say);
  };

  /** Looks now and then whether lines have come. */
  const watch = (mine: number): void => {
    const quietSoFar = clock.now() - lastHeard;
    // The next whole second of quiet: so that giving up, too, comes when it should.
    after('watch', LOOK_MS - (quietSoFar % LOOK_MS), () => {
      const quietMs = clock.now() - lastHeard;
      if (quietMs < LOOK_MS) watch(mine);
      // A scale that speaks on change only may be quiet for hours; but its device must be there.
      else if (quietMs < GIVE_UP_MS || way.mayBeQuiet) lookForDevice(mine);
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
    const looked = now?.opened.port.present?.().catch(() => true) ?? Promise.resolve(true);
    void looked.then((isThere) => {
      if (mine !== generation) return;
      if (isThere) watch(mine);
      else lose(way.gone());
    });
  };

  const isOpen = (mine: number, opened: Opened): void => {
    now = { opened, onTrial: opened.onTrial };
    lockedSince = undefined;
    lastHeard = clock.now();
    if (opened.onTrial) {
      after('watch', TRIAL_MS, () => reject());
    } else {
      watch(mine);
      if (!silenced) tellLink('open', opened.say);
    }
    receiver?.opened(opened.port, opened.onTrial);
  };

  const hasFailed = (error: unknown): void => {
    receiver?.end();
    const { kind, say } = way.trouble(error);
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
    reopenLater();
    tellLink('failed', say);
  };

  const open = (): void => {
    generation += 1;
    const mine = generation;
    /** Bytes that come before the opening is told. */
    let early: [Uint8Array, number][] | undefined = [];
    const mouth: Receiver = way.receiver({
      heard,
      accept,
      reject,
      tell: (event) => tell(event),
    });
    receiver = mouth;
    const opening = way.open({
      data: (chunk) => {
        if (mine !== generation) return;
        if (early) early.push([chunk, clock.now()]);
        else mouth.write(chunk, clock.now());
      },
      closed: () => {
        if (mine !== generation) return;
        if (now?.onTrial) reject();
        else lose(way.gone());
      },
      error: () => {}, // what matters ends in `closed` or in silence
    });
    pending = opening.then(
      (opened) => {
        if (mine !== generation) return opened.port.close().catch(() => {});
        isOpen(mine, opened);
        const waiting = early ?? [];
        early = undefined;
        for (const [chunk, at] of waiting) if (mine === generation) mouth.write(chunk, at);
      },
      (error: unknown) => {
        if (mine === generation) hasFailed(error);
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
      const mine = generation;
      tellLink('opening');
      if (mine === generation) open();
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
