/** Health cases: the scale says nothing, comes back, or is not the one that the load went onto. */
import { ASKED, askedFor, type HealthCase, midPour, powerCut } from './healthCase.ts';
import type { Hands } from './healthHands.ts';

const cable = ({ rig, draw }: Hands) => rig.cable(draw.scale);

export const ABSENT: readonly HealthCase[] = [
  {
    name: 'it falls silent',
    tells: /^NO SCALE .*says nothing/,
    strike: (hands) => midPour(hands, () => hands.rig.bench.simulated.get(hands.draw.scale)?.silent(true)),
    heal(said, { rig, draw }) {
      if (/^NO SCALE/.test(said)) rig.bench.simulated.get(draw.scale)?.silent(false);
    },
  },
  {
    name: 'what it sends can not be read any longer',
    tells: /^STOP .*read/,
    strike: (hands) => midPour(hands, () => hands.rig.bench.simulated.get(hands.draw.scale)?.garble(true)),
    heal(said, { rig, draw }) {
      if (/^STOP .*read/.test(said)) rig.bench.simulated.get(draw.scale)?.garble(false);
    },
  },
  {
    name: 'its supply runs low',
    tells: /supply is low/,
    speaks: 'status-first',
    next: 'same scale',
    strike: (hands) =>
      midPour(hands, () => {
        hands.instrument.faults.lowSupply = true;
      }),
  },
  {
    name: 'it switches itself off, and takes what is on it as zero when it is switched on',
    tells: /^NO SCALE/,
    instrument: { sleepsAfterMs: 5000 },
    async strike(hands) {
      await hands.arrived(hands.pour(0.3));
      await hands.see('sleep', () => !hands.instrument.on);
    },
  },
  {
    name: 'its power goes for a moment, at rest',
    tells: ASKED,
    async strike(hands) {
      await powerCut(hands);
      await askedFor(hands);
    },
  },
  {
    name: 'its power goes for a moment while it pours',
    tells: ASKED,
    strike: (hands) => midPour(hands, () => powerCut(hands)),
  },
  {
    name: 'a draught keeps it from coming to rest',
    tells: /^RESTLESS/,
    async strike(hands) {
      hands.instrument.faults.tremble = 3 * hands.d;
      await hands.arrived(hands.pour(0.3));
    },
    heal(said, { instrument }) {
      if (/^RESTLESS/.test(said)) instrument.faults.tremble = 0;
    },
  },
  {
    name: 'its cable is pulled out and plugged in again',
    tells: /^NO SCALE .*Plug it in/,
    strike: (hands) => midPour(hands, () => cable(hands).pullOut()),
    async heal(said, hands) {
      if (/^NO SCALE .*cable/.test(said)) await cable(hands).plugIn();
    },
  },
  {
    name: 'its cable is pulled out and plugged in under another name',
    tells: /^NO SCALE .*Plug it in/,
    strike: (hands) => midPour(hands, () => cable(hands).pullOut()),
    async heal(said, hands) {
      if (/^NO SCALE .*cable/.test(said)) await cable(hands).plugIn('again.near');
    },
  },
  {
    name: 'what is meant for it goes onto the other scale',
    tells: /^OTHER SCALE/,
    next: 'other scale',
    strikesAt: 'placed',
    prepare({ bench, way }) {
      const { hand, world } = bench;
      if (way === 'add') hand.put(world.vessel('dosing-cup'), world.pan('fine'));
      if (way === 'cup') hand.put(world.vessel('liquids-beaker'), world.pan('bench'));
    },
    async strike(hands) {
      const { draw, rig, vessel } = hands;
      const { hand, world } = rig.bench;
      const other = world.pan(draw.scale === 'bench' ? 'fine' : 'bench');
      const [there] = other.standing;
      if (there) hand.move(world.lot(draw.lot), there, draw.target);
      else hand.put(vessel, other);
      await hands.see('word on it', () => hands.said().startsWith('OTHER SCALE'));
    },
  },
];
