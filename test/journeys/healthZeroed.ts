/** Health cases: the scale's zero is set or wanders while a load is on. */
import { setTimeout as pause } from 'node:timers/promises';
import { ASKED, askedFor, type HealthCase, midPour } from './healthCase.ts';

export const ZEROED: readonly HealthCase[] = [
  {
    name: 'its zero key is pressed under the load, at rest',
    tells: ASKED,
    async strike(hands) {
      hands.instrument.pressZero();
      await askedFor(hands);
    },
  },
  {
    name: 'its zero key is pressed under the load while it pours',
    tells: ASKED,
    strike: (hands) => midPour(hands, () => hands.instrument.pressZero()),
  },
  {
    name: 'its tare key is pressed, at rest',
    tells: ASKED,
    async strike(hands) {
      hands.instrument.pressTare();
      await askedFor(hands);
    },
  },
  {
    name: 'its tare key is pressed while it pours',
    tells: ASKED,
    strike: (hands) => midPour(hands, () => hands.instrument.pressTare()),
  },
  {
    name: 'it takes what is on it as zero by itself',
    tells: ASKED,
    instrument: { zeroesAfterMs: 5000 },
    async strike(hands) {
      await hands.arrived(hands.pour(0.3));
      await hands.see('a zero', () => Math.abs(Number(hands.instrument.shown?.number.digits ?? 99)) <= 1);
      // Else it would do so again before a busy machine, which is slower than any hand, has let her pour anything.
      hands.instrument.faults.zeroesAfterMs = 20_000;
    },
  },
  {
    name: 'it swallows what comes in slowly',
    tells: /zero moved by .* as much off may be/,
    next: 'same scale',
    marks: true,
    // Four times as fast as a zero may be followed (OIML R 76-1), like all else here.
    instrument: { zeroTracking: 'anywhere', tracksPerSecond: 2 },
    async strike(hands) {
      await hands.arrived(hands.pour(0.3));
      await pause(800);
      const share = (8 * hands.d) / hands.draw.target;
      await hands.arrived(hands.pour(share, 6));
    },
  },
  {
    name: 'its zero drifts downwards',
    tells: /zero moved by .* as much off may be/,
    next: 'same scale',
    marks: true,
    async strike(hands) {
      hands.instrument.faults.drift = -hands.d;
      await hands.arrived(hands.pour(0.3));
      await pause(3000);
      hands.instrument.faults.drift = 0;
    },
  },
];
