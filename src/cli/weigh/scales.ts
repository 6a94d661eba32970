/** From a scale of the workshop to what the station needs: its signal's settings and its source. */

import type { PortDesk } from '../../link/portDesk.ts';
import type { Clock } from '../../signal/clock.ts';
import type { HealthConfig } from '../../signal/health.ts';
import type { StationScale } from '../../weighing/station.ts';
import type { Profile } from '../../wire/profile.ts';
import { unitsOf } from '../../wire/profile.ts';
import type { LinkState, ScaleSource, SourceEvent } from '../../wire/reading.ts';
import type { Scale, Workshop } from '../../workshop/model.ts';
import { Ending, EXIT } from '../exit.ts';
import { loadProfile } from '../folder.ts';
import { openDesk, sourceOf } from '../scale/scaleSource.ts';

export function signalConfigOf(scale: Scale, profile: Profile | undefined): HealthConfig {
  return {
    scale: scale.id,
    d: scale.d,
    repeatability: scale.repeatability,
    rhythm: profile?.rhythm ?? scale.usb?.rhythm ?? 'on-change',
    linesPerSecond: profile?.linesPerSecond ?? scale.usb?.linesPerSecond ?? 1,
    unit: (profile && unitsOf(profile)[0]) ?? scale.usb?.unit ?? 'g',
    unitIsSent: (profile?.units.size ?? 0) > 0 || scale.usb !== undefined,
    dwellMs: scale.dwellMs,
    sleepsAfterMs: scale.sleepsAfterMs,
  };
}

/** Scales of the workshop on their real ports. @throws Ending when one is not in the workshop file, or can't be opened */
export async function openScales(
  folder: string,
  workshop: Workshop,
  ids: readonly string[],
  clock: Clock,
): Promise<StationScale[]> {
  const scales: StationScale[] = [];
  const desk = await openDesk();
  for (const id of ids) {
    const scale = workshop.scales.get(id);
    if (!scale) {
      throw new Ending(
        EXIT.wrongUse,
        `The ${id} scale is needed, and is no longer in the workshop file. Put it back there to go on.`,
      );
    }
    scales.push(await stationScale(folder, scale, clock, desk));
  }
  const failed = await waitForPorts(scales.map(({ source }) => source).filter((source) => source !== undefined));
  if (failed !== undefined) {
    await Promise.all(scales.map(({ source }) => source?.stop()));
    throw new Ending(EXIT.noScale, failed);
  }
  return scales;
}

/** One scale with its source, or without one when the maker types what it shows. */
export async function stationScale(folder: string, scale: Scale, clock: Clock, desk: PortDesk): Promise<StationScale> {
  const { port } = scale;
  if (port === undefined) return { signal: signalConfigOf(scale, undefined), source: undefined };
  const profile = scale.profile === undefined ? undefined : await loadProfile(folder, scale.profile);
  const source = await sourceOf({ ...scale, port }, profile, clock, desk);
  return { signal: signalConfigOf(scale, profile), source: early(source) };
}

interface EarlySource extends ScaleSource {
  /** Resolves with the first word on the port. */
  readonly firstWord: Promise<{ readonly state: LinkState; readonly say: string | undefined }>;
}

/**
 * A source that is started at once and keeps what it hears until somebody listens, so that a port that can't be
 * opened is known before anything is begun.
 */
function early(source: ScaleSource): EarlySource {
  const heard: SourceEvent[] = [];
  let listener: ((event: SourceEvent) => void) | undefined;
  const firstWord = new Promise<{ state: LinkState; say: string | undefined }>((resolve) => {
    source.start((event) => {
      if (event.kind === 'link' && event.state !== 'opening') resolve({ state: event.state, say: event.say });
      if (listener) listener(event);
      else heard.push(event);
    });
  });
  return {
    scale: source.scale,
    firstWord,
    start(tell) {
      listener = tell;
      for (const event of heard.splice(0)) tell(event);
    },
    stop: () => source.stop(),
  };
}

/** @returns the sentences of the ports that can't be opened; undefined when all are open */
async function waitForPorts(sources: readonly ScaleSource[]): Promise<string | undefined> {
  const words = await Promise.all(
    sources.map(async (source) => ('firstWord' in source ? (source as EarlySource).firstWord : undefined)),
  );
  const faults = words.flatMap((word) => (word?.state === 'failed' && word.say !== undefined ? [word.say] : []));
  return faults.length === 0 ? undefined : faults.join('\n');
}
