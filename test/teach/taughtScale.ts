/** A simulated scale of a made-up format, and the maker who handles it and answers truthfully from its display. */
import type { Heard, Piece, Question } from '../../src/teach/model.ts';
import type { Format, Shown } from './formats.ts';
import type { Dice } from './words.ts';

/** Steps of the simulation, milliseconds. */
const TICK = 50;
/** At rest when so many ticks lie within one step of the display. */
const STILL_TICKS = 8;

export interface TaughtScale {
  /** Does what is asked, and tells what was heard meanwhile and what the display shows. */
  answer(question: Question): Heard;
  /** False: nothing brings its display below zero (no tare key, no zero key, and it finds zero when switched on). */
  readonly canTare: boolean;
}

interface Byte {
  readonly at: number;
  readonly code: number;
}

export function taughtScale(format: Format, dice: Dice): TaughtScale {
  const { d, capacity, rhythm, serial, packing } = format;
  const everyMs = Math.max(TICK, Math.round(1000 / format.linesPerSecond / TICK) * TICK);
  const flicker = dice.pick([0, 0, 0.2, 0.6]);
  const first = d * Math.round((capacity * (0.05 + 0.5 * dice.next())) / d);
  const second = first * dice.pick([0.1, 0.3, 1.6]);
  const isHasty = dice.chance(0.15);
  const writesComma = dice.chance(0.3);

  let now = 10_000 * dice.next();
  let load = 0; // true, in counts
  let target = 0;
  let wobble = 0;
  let isTouched = false;
  let isOff = false;
  let tare = 0;
  let running = dice.whole(0, 500);
  let seconds = dice.whole(30_000, 70_000);
  let display = 0;
  let past: number[] = [];
  let wasStable = true;
  let isStable = true;
  let lastSent = '';
  let due = now + everyMs * dice.next();
  let freeAt = 0;
  let isKeyWaiting = false;
  let sent: Byte[] = [];

  const send = (): void => {
    if (isOff) return;
    const pieces = Math.round(Math.abs(display) / (17 * d));
    const shown: Shown = {
      mode: 'weight',
      gross: display + tare,
      tare,
      isStable,
      pieces,
      seconds: Math.floor(seconds),
      running,
    };
    const lines = format.lines(shown);
    if (lines === undefined) return;
    running += 1;
    let at = Math.max(now, freeAt);
    for (const line of lines) {
      for (const each of packing.pack(line, serial.dataBits === 7 ? 0x7f : 0xff)) {
        at += 10_000 / serial.baud;
        sent.push({ at, code: each.charCodeAt(0) });
      }
    }
    freeAt = at;
  };

  const tick = (asked: boolean): void => {
    now += TICK;
    seconds += TICK / 1000;
    load += (target - load) * 0.5;
    if (Math.abs(target - load) < d / 10) load = target;
    if (isTouched && dice.chance(0.4)) wobble = (dice.next() - 0.4) * Math.max(40 * d, load * 0.3);
    const noise = (dice.next() - 0.5) * flicker * d;
    display = d * Math.round((load + (isTouched ? wobble : 0) + noise) / d) - tare;
    past = [...past, display].slice(-STILL_TICKS);
    wasStable = isStable;
    isStable = past.length === STILL_TICKS && Math.max(...past) - Math.min(...past) <= d;
    const isDue = now >= due && now >= freeAt;
    switch (rhythm) {
      case 'continuous':
      case 'while-settled':
        if (isDue && (rhythm === 'continuous' || isStable)) send();
        break;
      case 'on-change': {
        const text = `${display} ${format.rest !== 'none' && isStable}`;
        if (isDue && text !== lastSent) {
          lastSent = text;
          send();
        }
        break;
      }
      case 'on-settled':
        if (isStable && !wasStable) send();
        break;
      case 'on-key':
        if (isKeyWaiting && (isStable || format.sendsMoving)) {
          isKeyWaiting = false;
          send();
        }
        break;
      case 'asked':
        if (asked && now >= freeAt) send();
        break;
    }
    if (isDue) due = now + everyMs;
  };

  const run = (until: number, askEveryMs: number | undefined, keysAt: readonly number[] = []): void => {
    let askAt = now;
    while (now < until) {
      if (keysAt.some((at) => at > now && at <= now + TICK)) isKeyWaiting = true;
      const asked = askEveryMs !== undefined && now >= askAt;
      if (asked) askAt = now + askEveryMs;
      tick(asked);
    }
  };

  const shownText = (): string => {
    const { decimals, unit } = format;
    const digits = String(Math.abs(display)).padStart(decimals + 1, '0');
    const number =
      decimals === 0 ? digits : `${digits.slice(0, -decimals)}${writesComma ? ',' : '.'}${digits.slice(-decimals)}`;
    return `${display < 0 ? '-' : ''}${number}${dice.chance(0.2) ? '' : ' '}${unit}`;
  };

  return {
    canTare: dice.chance(0.99),
    answer(question) {
      const ask = format.rhythm === 'asked' ? 200 : undefined;
      run(now + 1000 + 4000 * dice.next(), undefined);
      sent = sent.filter(({ at }) => at > now);
      const began = now;
      run(began + 600 + 1500 * dice.next(), ask);
      switch (question.moment) {
        case 'empty':
          target = 0;
          break;
        case 'loaded':
          target = first;
          break;
        case 'other':
          target = second;
          break;
        case 'lifted':
          if (target === 0) target = second;
          run(now + 1500, ask);
          tare = d * Math.round(load / d);
          run(now + 1500, ask);
          target = 0;
          break;
        case 'touched-empty':
          target = 0;
          run(now + 1500, ask);
          tare = 0;
          isTouched = true;
          break;
        case 'switched-on':
          target = 0;
          run(now + 1500, ask);
          isOff = true;
          sent = sent.filter(({ at }) => at <= now);
          run(now + 1200, ask);
          isOff = false;
          tare = 0;
          lastSent = '';
          freeAt = now;
          break;
        case 'touched':
          if (target === 0) target = first;
          run(now + 1000, ask);
          isTouched = true;
          break;
      }
      // Some say that it is done as soon as the hand is off.
      run(now + (isHasty ? 150 : 1500 + 2000 * dice.next()), ask);
      const ready = now;
      const keysAt = !question.pressKey
        ? []
        : isTouched
          ? [500, 1700, 2900, 4100, 5200]
          : dice.chance(0.5)
            ? [700]
            : [700, 2100];
      run(
        ready + question.listenMs,
        ask,
        keysAt.map((after) => ready + after),
      );
      const ended = now;
      isTouched = false;
      wobble = 0;
      return {
        moment: question.moment,
        began,
        ready,
        ended,
        pieces: inPieces(
          sent.filter(({ at }) => at <= ended),
          dice,
        ),
        keyPressed: question.pressKey,
        shown: question.askDisplay === undefined ? undefined : shownText(),
      };
    },
  };
}

/** As an adapter hands bytes over: all that came since it last looked. */
function inPieces(bytes: readonly Byte[], dice: Dice): Piece[] {
  const pieces: Piece[] = [];
  let from = 0;
  while (from < bytes.length) {
    const until = (bytes[from]?.at ?? 0) + dice.pick([1, 8, 16]);
    let to = from;
    while (to < bytes.length && (bytes[to]?.at ?? 0) <= until) to += 1;
    pieces.push({ bytes: Uint8Array.from(bytes.slice(from, to), ({ code }) => code), at: until });
    from = to;
  }
  return pieces;
}
