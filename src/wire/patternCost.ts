/**
 * How many steps a pattern may cost. It is tried on lines made to keep it busy: a machine that goes back and tries
 * again, as the engine does, counts its steps. No clock is asked, so the answer is the same everywhere.
 */
import { MOST_REPEATS, type Node } from './patternSyntax.ts';

/** Steps that a line of the longest length may take: two repeats may compete for the same characters, three may not. */
export const MOST_STEPS = 400_000;

/** The longest line that a pattern ever sees. */
const LENGTH = 200;

class TooMany extends Error {}

/** @returns whether no line tried takes more than `MOST_STEPS` */
export function isCheap(pattern: Node): boolean {
  for (const line of busyLines(pattern)) {
    try {
      countSteps(pattern, line);
    } catch (error) {
      if (error instanceof TooMany) return false;
      throw error;
    }
  }
  return true;
}

function countSteps(pattern: Node, line: string): number {
  let steps = 0;
  const tick = (): void => {
    steps += 1;
    if (steps > MOST_STEPS) throw new TooMany();
  };
  const match = (node: Node, at: number, then: (at: number) => boolean): boolean => {
    tick();
    switch (node.kind) {
      case 'char':
        return at < line.length && node.fits[line.charCodeAt(at)] === true && then(at + 1);
      case 'edge':
        return (node.at === 'start' ? at === 0 : at === line.length) && then(at);
      case 'sequence': {
        const from = (part: number, place: number): boolean => {
          const next = node.parts[part];
          return next === undefined ? then(place) : match(next, place, (after) => from(part + 1, after));
        };
        return from(0, at);
      }
      case 'either':
        return node.options.some((option) => match(option, at, then));
      case 'look':
        // Tried here and gone on, whether it fits or not: what is asked is what it costs.
        match(node.of, at, () => false);
        return then(at);
      case 'repeat': {
        if (node.most === 1) return match(node.of, at, then) || (node.least === 0 && then(at));
        // A plain thing has one length, so the ways to repeat it are as many as its repeats.
        const ends = [at];
        while (ends.length <= node.most) {
          let end = -1;
          match(node.of, ends.at(-1) ?? at, (after) => {
            end = after;
            return true;
          });
          if (end === -1 || end === ends.at(-1)) break;
          ends.push(end);
        }
        return ends.slice(node.least).reverse().some(then);
      }
    }
  };
  match(pattern, 0, (at) => at === line.length);
  return steps;
}

/** Lines that nearly fit: what stands before a repeat, then the repeated thing as often as it goes, then nonsense. */
function busyLines(pattern: Node): Set<string> {
  const lines = new Set<string>();
  const add = (before: string, body: string, most: number): void => {
    if (body === '') return;
    const room = Math.max(0, LENGTH - 1 - before.length);
    const full = body.repeat(Math.ceil(room / body.length)).slice(0, room);
    for (const filled of [full.slice(0, most * body.length), full]) {
      for (const nonsense of ['\n', '\u0000']) lines.add((before + filled).slice(0, LENGTH - 1) + nonsense);
    }
  };
  const walk = (node: Node, before: string): string => {
    switch (node.kind) {
      case 'sequence':
        return node.parts.reduce((text, part) => text + walk(part, before + text), '');
      case 'either':
        return node.options.map((option) => walk(option, before))[0] ?? '';
      case 'look':
        walk(node.of, before);
        return '';
      case 'repeat': {
        const body = walk(node.of, before);
        for (const each of node.of.kind === 'char' ? samples(node.of.fits) : [body]) add(before, each, node.most);
        return body.repeat(Math.min(node.least, MOST_REPEATS));
      }
      case 'char':
        return samples(node.fits)[0] ?? '';
      case 'edge':
        return '';
    }
  };
  walk(pattern, '');
  return lines;
}

/** Characters that stand for the others: repeats that take the same ones compete for them. */
const TRIED = [...'0159 aGgZz+-.,:;_~!\t\u00e9'];

function samples(fits: readonly boolean[]): string[] {
  const found = TRIED.filter((char) => fits[char.charCodeAt(0)] === true);
  if (found.length > 0) return found;
  const code = fits.indexOf(true, 1);
  return code === -1 ? [] : [String.fromCharCode(code)];
}
