/** A scale that a made-up maker checks: she does what the lines say, with true weights on a simulated pan. */
import { checkLimits } from '../../../src/accept/checkLimits.ts';
import type { CheckWeight } from '../../../src/accept/checkWeights.ts';
import { checkDialog } from '../../../src/cli/scale/checkDialog.ts';
import { createCheckPan } from '../../../src/cli/scale/checkPan.ts';
import { type PanWatch, watchPan } from '../../../src/cli/scale/panWatch.ts';
import { signalConfigOf } from '../../../src/cli/weigh/scales.ts';
import { createMemoryCable } from '../../../src/link/memoryPort.ts';
import { createSerialLink } from '../../../src/link/serialLink.ts';
import { createSimulatedScale } from '../../../src/link/simulatedScale.ts';
import { type Mass, mass, ZERO } from '../../../src/mass/mass.ts';
import { createInstrument, type InstrumentSettings } from '../../../src/simulate/instrument.ts';
import { seededRandom } from '../../../src/simulate/seededRandom.ts';
import type { Workshop } from '../../../src/workshop/model.ts';
import { createFakeClock } from '../../fakeClock.ts';
import { shippedProfile } from '../../wire/profiles.ts';

export type Scale = NonNullable<ReturnType<Workshop['scales']['get']>>;

export interface Flaws {
  /** What the scale makes of a true load; called once for each time that something is put on. */
  readonly makes?: (load: Mass, turn: number) => Mass;
  /** Answers of the maker by the line that she hears, before what she does anyway. */
  readonly answers?: (line: string, watch: PanWatch) => boolean;
  readonly instrument?: Partial<InstrumentSettings>;
}

/** The weight that a line asks for, in grams; 0 for an empty pan; undefined when it asks for neither. */
export function askedFor(line: string, lastWeight: number): number | undefined {
  if (/^(Take|Off)/.test(line)) return 0;
  const put = /^Put the ([\d.]+) g weight/.exec(line);
  if (put) return Number(put[1]);
  return / of \d+: on\.$/.test(line) ? lastWeight : undefined;
}

export const WEIGHTS: readonly [CheckWeight, ...CheckWeight[]] = [{ nominal: mass(1_000_000_000), weightClass: 'M1' }];

/** Runs the check in virtual time. */
export async function runCheck(
  scale: Scale,
  { makes = (load) => load, answers = () => false, instrument = {} }: Flaws = {},
  { weights = WEIGHTS, series = 5, corners = false } = {},
) {
  const clock = createFakeClock(1000);
  const profile = shippedProfile('status-first');
  const cable = createMemoryCable();
  let onPan = ZERO;
  const settings = { capacity: scale.capacity, d: scale.d, noise: mass(Math.round(scale.d / 10)), ...instrument };
  const inside = createInstrument(settings, () => onPan, seededRandom(5), clock.now());
  const far = createSimulatedScale({ instrument: inside, profile, openPort: cable.far, path: 'far', clock });
  const link = createSerialLink({ scale: scale.id, path: 'near', profile, openPort: cable.near, clock });
  const keyed = scale.port === undefined;
  await far.start();
  const watch = watchPan(
    { signal: signalConfigOf(scale, keyed ? undefined : profile), source: keyed ? undefined : link },
    clock,
  );
  const said: string[] = [];
  let turn = 0;
  let lastWeight = 0;
  let done = false;
  const say = (line: string): void => {
    said.push(line);
    const wanted = askedFor(line, lastWeight);
    if (wanted !== undefined && wanted > 0) lastWeight = wanted;
    if (answers(line, watch)) return;
    if (line.startsWith('Enter goes on')) watch.hear('');
    if (wanted === undefined) return;
    turn += wanted > 0 ? 1 : 0;
    const load = mass(Math.round(wanted * 1e6));
    onPan = wanted === 0 ? ZERO : makes(load, turn);
    if (keyed) watch.hear(String(Math.round(onPan / scale.d) * (scale.d / 1e6)));
  };
  const limits = checkLimits(scale, 'oiml');
  if (!limits) throw new Error('no limits');
  const pan = createCheckPan({ watch, d: scale.d, keyed, say });
  const dialog = checkDialog({ scale, pan, limits, weights, series, corners, say }).finally(() => {
    done = true;
  });
  dialog.catch(() => {});
  for (let waited = 0; !done && waited < 200_000; waited += 200) await clock.advance(200);
  await watch.stop();
  await far.stop();
  if (!done) throw new Error(`the check did not end:\n${said.join('\n')}`);
  return { fact: await dialog, said };
}
