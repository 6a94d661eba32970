/** Health cases: the display does not show the load as it is. */
import { setTimeout as pause } from 'node:timers/promises';
import { type Mass, mass } from '../../src/mass/mass.ts';
import { loadOf } from '../../src/simulate/pan.ts';
import { ASKED, grams, type HealthCase, midPour } from './healthCase.ts';
import type { Hands } from './healthHands.ts';

/** The true load on the pan once the whole draw is in (half of it is), or out of the jar. */
function loadAtTarget({ pan, draw }: Hands): Mass {
  const missing = draw.target / 2;
  return mass(Math.round(loadOf(pan) + (draw.way === 'subtract' ? -missing : missing)));
}

async function freezeInBand(hands: Hands, how: 'held' | 'hung'): Promise<void> {
  const middle = loadAtTarget(hands);
  const within = hands.draw.target * 0.03;
  const [low, high] = [mass(Math.round(middle - within)), mass(Math.round(middle + within))];
  hands.instrument.faults.freezesBetween = { low, high, how };
  await hands.arrived(hands.pour(0.9));
}

/** The pan with all on it is knocked off its seat. */
const PAN_ITSELF = grams(300);

export const MISSHOWN: readonly HealthCase[] = [
  {
    name: 'its display holds a figure inside the band while more runs in',
    // Where the computer itself was held up for so long that it counts as a silence, the zero has to be seen anyway.
    tells: /^LIFT .*(suddenly|its zero has to be seen)/,
    strike: (hands) => freezeInBand(hands, 'held'),
  },
  {
    name: 'it hangs with a figure inside the band while more runs in',
    tells: /^RESTLESS|^NO SCALE/,
    strike: (hands) => freezeInBand(hands, 'hung'),
  },
  {
    name: 'its unit key is brushed',
    tells: /^STOP .*another unit/,
    strike: (hands) => midPour(hands, () => hands.instrument.pressUnit()),
  },
  {
    name: 'its unit key is brushed, and it sends no unit',
    tells: /^STOP .*jumped as if its unit had changed/,
    speaks: 'without unit',
    async strike(hands) {
      hands.instrument.pressUnit();
      await hands.see('word on it', () => hands.said().startsWith('STOP'));
      await hands.arrived(hands.pour(0.3));
    },
  },
  {
    name: 'its unit key is brushed while it pours, and it sends no unit',
    tells: ASKED,
    speaks: 'without unit',
    strike: (hands) => midPour(hands, () => hands.instrument.pressUnit()),
    heal(_said, { instrument }) {
      if (instrument.shown?.unit !== 'g') instrument.pressUnit();
    },
  },
  {
    name: 'over range: something heavy leans on it',
    tells: /^STOP .*more than it can weigh/,
    strike: (hands) =>
      midPour(hands, () => {
        hands.pan.bare = grams(6000);
      }),
    heal(said, { pan }) {
      if (/more than it can weigh/.test(said)) pan.bare = grams(0);
    },
  },
  {
    name: 'under range: its pan is knocked off its seat',
    tells: /^STOP .*less than nothing/,
    instrument: { lowest: grams(10) },
    strike: (hands) =>
      midPour(hands, () => {
        hands.pan.pressed = mass(-loadOf(hands.pan) - PAN_ITSELF);
      }),
    heal(said, { pan }) {
      if (/less than nothing/.test(said)) pan.pressed = grams(0);
    },
  },
  {
    name: 'its display snaps to the round figure',
    tells: /^LIFT .*suddenly/,
    async strike(hands) {
      hands.instrument.faults.snapsTo = {
        figure: loadAtTarget(hands),
        within: mass(Math.round(hands.draw.target * 0.1)),
      };
      await hands.arrived(hands.pour(0.44));
    },
    async heal(said, { rig, vessel, instrument }) {
      if (!/^LIFT .*suddenly/.test(said)) return;
      rig.bench.hand.lift(vessel);
      await pause(500);
      instrument.pressOff();
      await pause(300);
      instrument.pressOn();
    },
  },
];
