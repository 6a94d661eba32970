/** The far end of a serial line, played by hand: lines of the "status-first" shape, written when we say. */
import { closeSync, constants, openSync, writeSync } from 'node:fs';
import { speak } from '../../src/wire/speak.ts';
import { shippedProfile } from '../wire/profiles.ts';

const profile = shippedProfile('status-first');

/** What the scale sends while it shows so many tenths of a gram. */
export function lineFor(tenths: number, stable: boolean): string {
  const number = { digits: BigInt(tenths), scale: 1 };
  return `${speak(profile, { number, unit: 'g', stable, condition: undefined })}\r\n`;
}

export interface ScaleAtPort {
  /** @returns when the line was handed to the system, `performance.now()` just before that */
  send(tenths: number, stable: boolean): number;
  /** Sends the same line at a steady rate until stopped. */
  repeat(tenths: number, stable: boolean, everyMs: number): { stop(): void };
  close(): void;
}

/** @param path the far end of a pair */
export function openScaleAtPort(path: string): ScaleAtPort {
  const file = openSync(path, constants.O_WRONLY | constants.O_NOCTTY);
  const send = (tenths: number, stable: boolean): number => {
    const line = lineFor(tenths, stable);
    const at = performance.now();
    writeSync(file, line);
    return at;
  };
  return {
    send,
    repeat(tenths, stable, everyMs) {
      const timer = setInterval(() => send(tenths, stable), everyMs);
      return { stop: () => clearInterval(timer) };
    },
    close: () => closeSync(file),
  };
}
