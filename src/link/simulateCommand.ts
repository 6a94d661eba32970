/** `bismar simulate PROFILE`: a simulated scale on a real port or on one end of a pseudo-terminal pair. */
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import type { Readable } from 'node:stream';
import { createPanCommands, HELP, QUIT } from '../simulate/commands.ts';
import { createInstrument, type Instrument, type InstrumentSettings } from '../simulate/instrument.ts';
import { seededRandom } from '../simulate/seededRandom.ts';
import { type Profile, unitsOf } from '../wire/profile.ts';
import { type Clock, realClock } from './clock.ts';
import type { OpenPort } from './port.ts';
import { portTrouble } from './portTrouble.ts';
import { openSerialPort } from './serialPort.ts';
import { createSimulatedScale } from './simulatedScale.ts';
import { type Pair, startPair } from './startPair.ts';

export interface SimulateSettings {
  readonly profile: Profile;
  /** Its unit key goes through all units of the profile unless it says otherwise. */
  readonly instrument: InstrumentSettings;
  /** The port to speak on; undefined: a pseudo-terminal pair is started and the path to connect to is printed. */
  readonly path?: string | undefined;
  readonly input: Readable;
  /** Prints one line. */
  readonly print: (line: string) => void;
  /** Stops it, besides `quit` and the end of the input. */
  readonly signal?: AbortSignal;
  readonly seed?: number;
  readonly openPort?: OpenPort;
  readonly clock?: Clock;
}

const DROP_MS = 2000;

/** The end of the wire at the simulated scale: a port, or a pair that can be pulled out. */
interface Wire {
  readonly path: string;
  /** Where the program connects, when it is known. */
  readonly near: string | undefined;
  pullOut(): Promise<void>;
  plugIn(): Promise<void>;
  end(): Promise<void>;
}

/** @throws (rejects) with a sentence when there is no `socat` */
async function pairWire(): Promise<Wire> {
  // Names of our own, so that the port is the same one after it was pulled out.
  const folder = await mkdtemp(join(tmpdir(), 'bismar-'));
  const links = { near: join(folder, 'scale'), far: join(folder, 'far') };
  const end = async (): Promise<void> => {
    await pair?.kill();
    await rm(folder, { recursive: true, force: true });
  };
  let pair: Pair | undefined;
  const plugIn = async (): Promise<void> => {
    pair = await startPair(links);
  };
  await plugIn().catch(async (error: unknown) => {
    await end();
    throw error;
  });
  return { path: links.far, near: links.near, pullOut: async () => pair?.kill(), plugIn, end };
}

function portWire(path: string): Wire {
  const nothing = async (): Promise<void> => {};
  return { path, near: undefined, pullOut: nothing, plugIn: nothing, end: nothing };
}

/**
 * Runs until `quit`, the end of the input, the signal, or the port is lost.
 * @returns the exit code: 0 when it was ended, 3 when the port can't be used
 */
export async function simulate(settings: SimulateSettings): Promise<number> {
  const { profile, input, print, signal, openPort = openSerialPort, clock = realClock } = settings;
  if (!profile.writes) {
    print(
      `The wire profile "${profile.id}" does not say how it is written: it needs the key \`writes\` to be simulated.`,
    );
    return 3;
  }
  const [first = 'g', ...others] = unitsOf(profile);
  const units: InstrumentSettings['units'] = [first, ...others];
  let wire: Wire;
  try {
    wire = settings.path === undefined ? await pairWire() : portWire(settings.path);
  } catch (error) {
    print(error instanceof Error ? error.message : String(error));
    return 3;
  }

  const ended = Promise.withResolvers<number>();
  const fail = (error: unknown): void => {
    print(portTrouble(error, wire.path).say);
    ended.resolve(3);
  };
  let dropping: Promise<void> = Promise.resolve();
  const drop = async (): Promise<void> => {
    await scale.stop();
    await wire.pullOut();
    await new Promise<void>((resolve) => clock.setTimeout(resolve, DROP_MS));
    await wire.plugIn();
    await scale.start();
  };
  // The pan needs the wire for its faults, the instrument the pan, the wire the instrument: so two of them are late.
  let instrument: Instrument;
  const commands = createPanCommands(
    () => instrument,
    {
      silent: (quiet) => scale.silent(quiet),
      cutNextLine: () => scale.cutNextLine(),
      pressSend: () => scale.pressSend(),
      sendRaw: (bytes) => scale.sendRaw(bytes),
      drop: () => {
        dropping = dropping.then(drop).catch(fail);
      },
    },
    clock.now(),
  );
  const random = seededRandom(settings.seed ?? 1);
  instrument = createInstrument({ units, ...settings.instrument }, commands.loadAt, random, clock.now());
  const scale = createSimulatedScale({ instrument, profile, openPort, path: wire.path, clock, onLost: fail });

  try {
    await scale.start();
    print(`A simulated scale speaks "${profile.id}" on the port ${wire.near ?? wire.path}.`);
    if (wire.near) print(`Give that path as "port" of a scale in workshop.yaml, with the profile "${profile.id}".`);
    print(HELP);
    const lines = createInterface({ input });
    lines.on('line', (line) => {
      const answer = commands.run(line);
      if (answer === QUIT) ended.resolve(0);
      else if (answer !== '') print(answer);
    });
    lines.once('close', () => ended.resolve(0));
    const stop = (): void => ended.resolve(0);
    signal?.addEventListener('abort', stop, { once: true });
    if (signal?.aborted) stop();
    const code = await ended.promise;
    signal?.removeEventListener('abort', stop);
    lines.close();
    return code;
  } catch (error) {
    fail(error);
    return 3;
  } finally {
    await dropping;
    await scale.stop();
    await wire.end();
  }
}
