/** When the scale speaks: from how lines came while the pan was left alone and while it was touched. */
import type { Rhythm } from '../wire/reading.ts';
import type { Evidence, Heard, Part } from './model.ts';
import type { ReadingHeard } from './readingsHeard.ts';

export interface RhythmFound {
  readonly rhythm: Rhythm;
  readonly linesPerSecond: number;
  readonly sure: Part['sure'];
  readonly from: string;
}

export function findRhythm({ ask, heard }: Evidence, readings: readonly ReadingHeard[]): RhythmFound {
  const isTouch = ({ moment }: Heard): boolean => moment === 'touched' || moment === 'touched-empty';
  const still = rates(
    heard.filter((each) => !isTouch(each)),
    readings,
  );
  const touched = rates(heard.filter(isTouch), readings);
  const usual = Math.max(0.1, Math.min(200, Math.round(usualRate(readings) * 10) / 10));
  const found = (rhythm: Rhythm, sure: Part['sure'], from: string, linesPerSecond = usual): RhythmFound => ({
    rhythm,
    linesPerSecond,
    sure,
    from,
  });
  if (ask)
    return found(
      'asked',
      'certain',
      'silent until it was asked',
      Math.min(usual, Math.round(10_000 / ask.everyMs) / 10),
    );
  const withLines = heard.filter((each) => readings.some((reading) => reading.heard === each));
  if (withLines.every(({ keyPressed }) => keyPressed))
    return found('on-key', 'certain', 'silent until its key was pressed', 1);
  if (still.steady >= 0.6) {
    if (touched.count === 0)
      return found(
        'continuous',
        'likely',
        'it spoke all the time while the pan was left alone; how it speaks while it moves was not heard',
      );
    // By bytes: a line that could not be read was sent all the same.
    const share = touched.bytes / still.bytes;
    if (share < 0.25)
      return found('while-settled', 'certain', 'it spoke all the time, and fell silent while the pan was touched');
    return found('continuous', share >= 0.6 ? 'certain' : 'likely', 'it spoke all the time, pan touched or not');
  }
  if (touched.rate > 0.8)
    return found('on-change', 'likely', 'it spoke often while the pan was touched, seldom while it was left alone');
  return found(
    'on-settled',
    'likely',
    'a line each time the pan had come to rest, none while it was touched',
    Math.min(usual, 2),
  );
}

/** `rate`: readings per second after the maker was ready; `bytes`: as much of those; `steady`: the share of moments in which they came throughout. */
function rates(
  heard: readonly Heard[],
  readings: readonly ReadingHeard[],
): { readonly rate: number; readonly bytes: number; readonly steady: number; readonly count: number } {
  let lines = 0;
  let bytes = 0;
  let seconds = 0;
  let steady = 0;
  for (const each of heard) {
    const times = readings
      .filter((reading) => reading.heard === each && reading.began >= each.ready)
      .map(({ at }) => at);
    lines += times.length;
    for (const piece of each.pieces) if (piece.at >= each.ready) bytes += piece.bytes.length;
    seconds += (each.ended - each.ready) / 1000;
    const half = (each.ready + each.ended) / 2;
    const last = each.ended - (each.ended - each.ready) / 4;
    if (times.length >= 4 && times.some((at) => at < half) && times.some((at) => at > last)) steady += 1;
  }
  return {
    rate: seconds === 0 ? 0 : lines / seconds,
    bytes: seconds === 0 ? 0 : bytes / seconds,
    steady: heard.length === 0 ? 0 : steady / heard.length,
    count: heard.length,
  };
}

/** Readings per second while they come: from the middle one of all pauses between two. */
function usualRate(readings: readonly ReadingHeard[]): number {
  const pauses = readings
    .slice(1)
    .flatMap((reading, index) =>
      readings[index]?.heard === reading.heard ? [reading.began - (readings[index]?.began ?? 0)] : [],
    )
    .filter((pause) => pause > 0)
    .sort((a, b) => a - b);
  const middle = pauses[Math.floor(pauses.length / 2)];
  return middle === undefined ? 1 : 1000 / middle;
}
