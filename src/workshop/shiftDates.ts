/** Moves the days in a file, so that a workshop written for one day fits another: the demo always has fresh lots. */
import { isDay } from './quantities.ts';

const DAY_MS = 86_400_000;

/** A day so many days later (or earlier), both `YYYY-MM-DD`. */
export function shiftDay(day: string, days: number): string {
  return new Date(Date.parse(`${day}T00:00:00Z`) + days * DAY_MS).toISOString().slice(0, 10);
}

/**
 * Every day `YYYY-MM-DD` in a text, moved by a number of days. What only looks like one (2026-02-30, part of a
 * longer number) stays.
 */
export function shiftDates(text: string, days: number): string {
  return text.replace(/(?<![\w-])\d{4}-\d{2}-\d{2}(?![\w-])/g, (found) => {
    return isDay(found) ? shiftDay(found, days) : found;
  });
}
