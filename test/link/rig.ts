/** A simulated scale, a cable and a link in one: what most link tests need. */
import { createMemoryCable } from '../../src/link/memoryPort.ts';
import { createSerialLink } from '../../src/link/serialLink.ts';
import { createSimulatedScale } from '../../src/link/simulatedScale.ts';
import { type Mass, mass } from '../../src/mass/mass.ts';
import { createInstrument, type InstrumentSettings } from '../../src/simulate/instrument.ts';
import { createPan, loadOf } from '../../src/simulate/pan.ts';
import { seededRandom } from '../../src/simulate/seededRandom.ts';
import type { Profile } from '../../src/wire/profile.ts';
import type { Decoded, SourceEvent } from '../../src/wire/reading.ts';
import { createFakeClock } from '../fakeClock.ts';

export const grams = (g: number): Mass => mass(Math.round(g * 1e6));

export const BENCH: InstrumentSettings = { capacity: grams(5000), d: grams(0.1), noise: grams(0.02) };

export function createRig(profile: Profile, settings: InstrumentSettings = BENCH) {
  const clock = createFakeClock(1000);
  const cable = createMemoryCable();
  const pan = createPan('bench');
  const instrument = createInstrument(settings, () => loadOf(pan), seededRandom(7), clock.now());
  const scale = createSimulatedScale({ instrument, profile, openPort: cable.far, path: 'far', clock });
  const raw: string[] = [];
  const link = createSerialLink({
    scale: 'bench',
    path: 'near',
    profile,
    openPort: cable.near,
    clock,
    onRaw: (line) => raw.push(line),
  });
  const events: SourceEvent[] = [];
  link.start((event) => events.push(event));
  return {
    clock,
    cable,
    pan,
    instrument,
    scale,
    link,
    events,
    raw,
    /** The link states told so far. */
    states: () => events.flatMap((event) => (event.kind === 'link' ? [event.state] : [])),
    lines: () => events.filter((event): event is Decoded => event.kind !== 'link'),
    lastReading: () => {
      const event = events.findLast((each) => each.kind === 'reading');
      return event?.kind === 'reading' ? event.reading : undefined;
    },
  };
}
