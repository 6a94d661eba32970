/** `bismar scale check` as a command: on the real serial path, into a real log. */
import { cp, mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PassThrough } from 'node:stream';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { LOG_FILE } from '../../../src/cli/folder.ts';
import { scaleCheck } from '../../../src/cli/scale/scaleCheck.ts';
import { SCALES } from '../../../src/facts/fact.ts';
import { realClock } from '../../../src/link/clock.ts';
import { openSerialPort } from '../../../src/link/serialPort.ts';
import { createSimulatedScale } from '../../../src/link/simulatedScale.ts';
import { type Mass, mass, ZERO } from '../../../src/mass/mass.ts';
import { openLog } from '../../../src/records/batchLog.ts';
import { scalesStand } from '../../../src/records/lastChecks.ts';
import { createInstrument } from '../../../src/simulate/instrument.ts';
import { seededRandom } from '../../../src/simulate/seededRandom.ts';
import { hasSocat, startPair } from '../../pairs.ts';
import { g } from '../../records/sampleFacts.ts';
import { shippedProfile } from '../../wire/profiles.ts';
import { askedFor } from './checkRig.ts';

const WORKSHOP = `
name: Check
operators: [Ann]
scales:
  bench:
    capacity: 5 kg
    d: 0.1 g
    port: PORT
    profile: status-first
    dwell: 0.2 s
    permissible error: 0.2 g
vessels:
  bowl: {name: Bowl, tare: 912 g}
ingredients:
  water: {name: Water, inci: Aqua}
check weights:
  - {nominal: 1000 g, class: M1}
`;

const why = hasSocat ? '' : ' (skipped: "socat" is not installed, so there is no pseudo-terminal pair)';

describe.skipIf(!hasSocat)(`a check on a serial port${why}`, { timeout: 90_000 }, () => {
  const cleanUps: (() => Promise<unknown>)[] = [];
  let folder = '';
  beforeEach(async () => {
    folder = await mkdtemp(join(tmpdir(), 'bismar-check-'));
  });
  afterEach(async () => {
    for (const cleanUp of cleanUps.splice(0).reverse()) await cleanUp();
    await rm(folder, { recursive: true, force: true });
  });

  /** Checks a scale that makes of a load what it makes of it. */
  async function check(makes: (load: Mass) => Mass, leaveAt?: RegExp) {
    const pair = await startPair({ near: join(folder, 'scale'), far: join(folder, 'far') });
    cleanUps.push(() => pair.kill());
    await writeFile(join(folder, 'workshop.yaml'), WORKSHOP.replace('PORT', pair.near));
    await mkdir(join(folder, 'scales'));
    await cp(new URL('../../../devices/status-first.yaml', import.meta.url), join(folder, 'scales/status-first.yaml'));
    let onPan = ZERO;
    const settings = { capacity: g(5000), d: g(0.1), noise: g(0.01), lagMs: 30, settleMs: 150, perSecond: 20 };
    const instrument = createInstrument(settings, () => onPan, seededRandom(3), realClock.now());
    const profile = shippedProfile('status-first');
    const far = createSimulatedScale({ instrument, profile, openPort: openSerialPort, path: pair.far });
    await far.start();
    cleanUps.push(() => far.stop());
    const input = new PassThrough();
    const said: string[] = [];
    let lastWeight = 0;
    const print = (line: string): void => {
      said.push(line);
      if (leaveAt?.test(line)) input.write('q\n');
      if (line.startsWith('Enter goes on')) input.write('\n');
      const wanted = askedFor(line, lastWeight);
      if (wanted === undefined) return;
      if (wanted > 0) lastWeight = wanted;
      onPan = wanted === 0 ? ZERO : makes(mass(wanted * 1_000_000));
    };
    const code = await scaleCheck('bench', { in: folder, series: '4' }, { input, print }).catch((error: unknown) =>
      String(error),
    );
    const log = openLog(join(folder, LOG_FILE), { readOnly: true });
    try {
      return { code, said, facts: log.facts(SCALES), stand: scalesStand(log, { bench: { repeatability: null } }) };
    } finally {
      log.close();
    }
  }

  test('a good scale: passed, exit code 0, and the fact is in the log for the next batch', async () => {
    const { code, facts, stand } = await check((load) => load);
    expect(code).toBe(0);
    expect(facts).toMatchObject([{ kind: 'scale-checked', batch: 'scales', by: 'Ann', scale: 'bench', passed: true }]);
    expect(stand).toMatchObject({ scales: { bench: { checkedAt: facts[0]?.at, passed: true } } });
  });

  test('a span error of 0.3 %: failed, exit code 1, and the fact says so', async () => {
    const { code, facts } = await check((load) => mass(Math.round(load * 1.003)));
    expect(code).toBe(1);
    expect(facts).toMatchObject([{ passed: false, slopePpm: expect.any(Number) }]);
    expect((facts[0] as { slopePpm: number }).slopePpm).toBeGreaterThan(2900);
  });

  test('left in the middle: a sentence, and nothing in the log', async () => {
    const { code, facts } = await check((load) => load, /^Put the/);
    expect(code).toContain('Nothing was recorded');
    expect(facts).toEqual([]);
  });
});

describe('what can not be checked is said before anything is opened', () => {
  let folder = '';
  const run = async (text: string, options: object = {}, name?: string) => {
    folder = await mkdtemp(join(tmpdir(), 'bismar-check-'));
    await writeFile(join(folder, 'workshop.yaml'), text);
    return scaleCheck(name, { in: folder, ...options }, { input: new PassThrough(), print: () => {} });
  };
  afterEach(() => rm(folder, { recursive: true, force: true }));

  test.each([
    [
      'no check weights',
      WORKSHOP.replace(/check weights[\s\S]*/, ''),
      {},
      'There is no check weight for the bench scale',
    ],
    ['only a weight that is too poor', WORKSHOP.replace('M1', 'M2'), {}, 'its own error is more than a third'],
    ['an unknown table', WORKSHOP, { tables: 'mine' }, '--tables wants oiml or handbook-44'],
    ['a series of three', WORKSHOP, { series: '3' }, '--series wants a whole number of 4 to 50'],
    ['a stranger', WORKSHOP, { by: 'Eve' }, 'is not among the operators'],
  ])('%s', async (_, text, options, say) => {
    await expect(run(text.replace('PORT', '/dev/ttyUSB0'), options)).rejects.toThrow(say);
  });

  test('an unknown scale', async () => {
    await expect(run(WORKSHOP.replace('PORT', '/dev/ttyUSB0'), {}, 'fine')).rejects.toThrow('There are: bench.');
  });
});
