/** A scale that no wire profile describes, at the far end of a real serial line, and a hand at its pan and keys. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { realClock } from '../../src/link/clock.ts';
import { openSerialPort } from '../../src/link/serialPort.ts';
import { mass } from '../../src/mass/mass.ts';
import { createInstrument, type Shown } from '../../src/simulate/instrument.ts';
import { seededRandom } from '../../src/simulate/seededRandom.ts';
import { startPair } from '../pairs.ts';

const WORKSHOP = `# My workshop, with my own words in it.
name: Shed
operators: [Ann]
scales:
  bench: # under the window
    capacity: 2 kg
    d: 0.01 g
    dwell: 0.2 s
    keyed: yes # until it is connected
vessels:
  bowl: {name: Bowl, tare: 96.4 g}
ingredients:
  water:
    name: Purified water
    inci: Aqua
    lots:
      W-1: {on hand: 5000 g}
`;

const FORMULA = `name: Practice
version: 1
batch: 50 g
phases:
  - phase: A
    name: Only
    vessel: bowl
    work:
      - draw: water
        share: 100 %
        band: 2 %
`;

export interface StrangeScale {
  /** A workshop whose only scale has no port yet. */
  readonly folder: string;
  /** The program's end of the line. */
  readonly near: string;
  /** Puts so many grams on the pan in all. */
  put(grams: number): void;
  /** Nudges the pan again and again, until it is left alone. */
  touch(on: boolean): void;
  pressTare(): void;
  /** What stands on its display, number and unit, once it is at rest. */
  display(): Promise<string>;
  stop(): Promise<void>;
}

/** @param speak the bytes for what it shows */
export async function setUpStrangeScale(speak: (shown: Shown) => string): Promise<StrangeScale> {
  const folder = mkdtempSync(join(tmpdir(), 'bismar-strange-'));
  writeFileSync(join(folder, 'workshop.yaml'), WORKSHOP);
  writeFileSync(join(folder, 'practice.yaml'), FORMULA);
  const near = join(folder, 'near');
  const pair = await startPair({ near, far: join(folder, 'far') });
  let load = 0;
  let touched = false;
  const loadAt = (at: number) =>
    mass(Math.round((load + (touched ? 3 * Math.sin(at / 90) + 2 * Math.sin(at / 37) : 0)) * 1e6));
  const instrument = createInstrument(
    { capacity: mass(2e9), d: mass(10_000), noise: mass(800), lagMs: 40, settleMs: 300, perSecond: 15 },
    loadAt,
    seededRandom(11),
    realClock.now(),
  );
  const port = await openSerialPort(join(folder, 'far'), SERIAL, { data() {}, closed() {}, error() {} });
  let stopped = false;
  const running = (async () => {
    while (!stopped) {
      for (const shown of instrument.advance(realClock.now())) await port.write(speak(shown)).catch(() => {});
      await pause(20);
    }
  })();
  return {
    folder,
    near,
    put(grams) {
      load = grams;
    },
    touch(on) {
      touched = on;
    },
    pressTare: () => instrument.pressZero(),
    async display() {
      // What was put on a moment ago is not on the display yet.
      await pause(200);
      for (;;) {
        const { shown } = instrument;
        if (shown?.stable) return `${inDigits(shown)} g`;
        await pause(20);
      }
    },
    async stop() {
      stopped = true;
      await running;
      await port.close();
      await pair.kill();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

const SERIAL = { baud: 9600, dataBits: 8, parity: 'none', stopBits: 1 } as const;

/** The number on the display: `-12.50`. */
export function inDigits({ number: { digits, scale } }: Pick<Shown, 'number'>): string {
  const bare = String(digits < 0n ? -digits : digits).padStart(scale + 1, '0');
  return `${digits < 0n ? '-' : ''}${bare.slice(0, -scale)}.${bare.slice(-scale)}`;
}
