/** The last part of teaching: what was learnt and from what, and live readings by it beside the scale's own display. */
import { pause } from '../../link/listenPort.ts';
import { delayOf } from '../../link/openPort.ts';
import { createSerialLink } from '../../link/serialLink.ts';
import type { Part, Sureness } from '../../teach/model.ts';
import type { Profile } from '../../wire/profile.ts';
import { isQuietByHabit, type Reading, type SourceEvent } from '../../wire/reading.ts';
import { Ending, EXIT } from '../exit.ts';
import { told } from './scale.ts';
import type { TeachPort } from './scaleTeachLine.ts';
import type { TeachTalk } from './scaleTeachTalk.ts';
import { NOTHING_WRITTEN } from './scaleTeachTrouble.ts';

/** Live readings that are shown. */
const READINGS = 5;
/** Between two of them, so that the maker can follow, milliseconds. */
const APART_MS = 700;
/** A scale that speaks by itself has sent all of them within so long, milliseconds. */
const PATIENCE_MS = 20_000;
/** One that speaks on what the maker does gets so long. */
const LONG_PATIENCE_MS = 300_000;
/** Lines that are not understood are shown up to so many. */
const MOST_REFUSED = 3;

const SURE: Readonly<Record<Sureness, string>> = { certain: 'certain', likely: 'likely ', unknown: 'unknown' };

/** Says each part, how sure it is, and from what it is known. */
export function sayParts(parts: readonly Part[], talk: TeachTalk): void {
  for (const { part, says, sure, from } of parts) talk.say(`${part}: ${says} (${from})`, `  ${SURE[sure]}  `);
}

/**
 * Opens the port by the new profile, as all other commands do, shows what it makes of the lines, and asks the maker.
 * @returns whether she says that it agrees with the display
 * @throws Ending when nothing is understood; `Left` when she leaves
 */
export async function showLive(name: string, profile: Profile, port: TeachPort, talk: TeachTalk): Promise<boolean> {
  const quiet = isQuietByHabit(profile.rhythm);
  if (quiet) {
    const key = profile.rhythm === 'on-key' ? ' and press the key that sends or prints' : '';
    talk.say(
      `Now ${READINGS} live readings, as the new wire profile understands them. Put different things on the pan${key}, until ${READINGS} have come. (Enter: go on with fewer)`,
    );
  } else {
    await talk.ask(
      `Now ${READINGS} live readings, as the new wire profile understands them. Put something on the pan. (Enter: show them)`,
    );
  }
  const { path, openPort, clock } = port;
  const delayMs = delayOf(path);
  const link = createSerialLink({ scale: name, path, profile, openPort, clock, ...(delayMs && { delayMs }) });
  const readings: Reading[] = [];
  let refused = 0;
  let failed: string | undefined;
  let shownAt = Number.NEGATIVE_INFINITY;

  const hear = (event: SourceEvent): void => {
    if (readings.length >= READINGS) return;
    if (event.kind === 'link') {
      if (event.state === 'failed' || event.state === 'lost') failed = event.say;
      return;
    }
    if (event.kind === 'refused') {
      refused += 1;
      if (refused <= MOST_REFUSED) talk.print(`  ${told(event)}`);
      return;
    }
    if (clock.now() - shownAt < APART_MS) return;
    shownAt = clock.now();
    talk.print(`  ${told(event)}`);
    if (event.kind === 'reading') readings.push(event.reading);
  };
  try {
    link.start(hear);
    await talk.during(async (signal) => {
      const end = clock.now() + (quiet ? LONG_PATIENCE_MS : PATIENCE_MS);
      while (readings.length < READINGS && failed === undefined && clock.now() < end && !signal.aborted) {
        await pause(clock, 100, signal);
      }
    }, true);
  } finally {
    await link.stop();
  }
  if (readings.length === 0) {
    throw new Ending(
      EXIT.failed,
      `${failed ?? 'No reading came by the new wire profile.'} So it is not kept: teach again. ${NOTHING_WRITTEN}`,
    );
  }
  const answer = await talk.ask(
    'Did these agree with what the display showed, number, sign and unit? (Enter: yes; n: no, nothing is written)',
  );
  return !/^n/i.test(answer);
}
