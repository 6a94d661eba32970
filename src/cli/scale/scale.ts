/** `bismar scale list` and `bismar scale watch`. */
import { cleanText } from '../../facts/cleanText.ts';
import { realClock } from '../../link/clock.ts';
import { profileIds } from '../../link/findProfile.ts';
import { hidScales, loadHidLibrary } from '../../link/hidLibrary.ts';
import { listPorts } from '../../link/listPorts.ts';
import { printMass } from '../../mass/text.ts';
import type { Profile } from '../../wire/profile.ts';
import type { SourceEvent } from '../../wire/reading.ts';
import { hidText, readPortText } from '../../workshop/portText.ts';
import { Ending, EXIT, type ExitCode } from '../exit.ts';
import { isWorkshop, loadProfile, loadWorkshop, profileFolders } from '../folder.ts';
import { type Connected, openDesk, sourceOf } from './scaleSource.ts';

const print = (line: string) => void process.stdout.write(`${line}\n`);

export async function list(folder: string): Promise<ExitCode> {
  const found = await listPorts();
  print('Ports of this computer:');
  for (const { path, maker = '', serialNumber, likely } of found.ports) {
    const adapter = serialNumber === undefined ? '' : `adapter: ${serialNumber}`;
    printParts(path, maker, adapter, likely ? '' : '(perhaps nothing behind it)');
  }
  if (found.ports.length === 0) print('  none');
  if (found.say !== undefined) print(`  ${found.say}`);
  await listUsbScales();
  print('Wire profiles:');
  for (const id of await profileIds(profileFolders(folder))) {
    const profile = await loadProfile(folder, id);
    print(`  ${id}: ${cleanText(profile.describes)}`);
  }
  print('  None fits? `bismar scale teach NAME --port P` learns how yours speaks.');
  if (!isWorkshop(folder)) return EXIT.done;
  print('Scales of this workshop:');
  for (const scale of loadWorkshop(folder).scales.values()) {
    const by = scale.profile === undefined ? 'the USB standard' : `profile ${scale.profile}`;
    const where = scale.port === undefined ? 'no port, typed in' : `${scale.port}, ${by}`;
    print(`  ${scale.id}: ${cleanText(where)}`);
  }
  return EXIT.done;
}

function printParts(...parts: readonly string[]): void {
  print(
    `  ${parts
      .filter((part) => part !== '')
      .map(cleanText)
      .join('  ')}`,
  );
}

async function listUsbScales(): Promise<void> {
  print('USB scales (they need no profile):');
  try {
    const scales = await hidScales(await loadHidLibrary());
    for (const scale of scales) printParts(`port: "${hidText(scale)}"`, scale.name);
    if (scales.length === 0) print('  none');
  } catch (error) {
    print(`  ${error instanceof Error ? cleanText(error.message) : 'they can not be listed'}`);
  }
}

interface WatchOptions {
  readonly port?: string | undefined;
  readonly profile?: string | undefined;
  readonly count?: string | undefined;
  readonly in: string;
}

/** Prints what a scale says until Ctrl+C, or until `--count` lines have come. */
export async function watch(name: string | undefined, options: WatchOptions): Promise<ExitCode> {
  const { connected, profile } = await toWatch(name, options);
  const link = await sourceOf(connected, profile, realClock, await openDesk());
  const most = options.count === undefined ? Number.POSITIVE_INFINITY : Number(options.count);
  if (!(most > 0)) throw new Ending(EXIT.wrongUse, '--count wants a number above zero.');
  let lines = 0;
  let code: ExitCode = EXIT.done;
  await new Promise<void>((resolve) => {
    const end = () => void link.stop().then(resolve);
    process.once('SIGINT', end);
    process.once('SIGTERM', end);
    link.start((event) => {
      if (event.kind === 'link') {
        if (event.say !== undefined) print(event.say);
        if (event.state === 'failed') {
          code = EXIT.noScale;
          end();
        }
        return;
      }
      print(told(event));
      lines += 1;
      if (lines >= most) end();
    });
  });
  return code;
}

/** A line of a scale as it is understood. */
export function told(event: Exclude<SourceEvent, { kind: 'link' }>): string {
  switch (event.kind) {
    case 'reading': {
      const { mass, stable, raw } = event.reading;
      const word = stable === undefined ? '' : stable ? ' settled' : ' moving';
      return `${printMass(mass, { decimals: 3 }).padStart(12)} g${word}`.padEnd(26) + raw;
    }
    case 'condition':
      return `${event.condition}`.padEnd(26) + event.raw;
    case 'refused':
      return `not understood: ${event.why}`.padEnd(26) + event.raw;
  }
}

async function toWatch(
  name: string | undefined,
  { port, profile, in: folder }: WatchOptions,
): Promise<{ connected: Connected; profile: Profile | undefined }> {
  if (port !== undefined) {
    const named = readPortText(port);
    if (named === undefined) {
      throw new Ending(
        EXIT.wrongUse,
        '--port wants the path of a serial port, tcp:HOST:PORT, or hid: for a USB scale.',
      );
    }
    const connected = { id: name ?? 'watched', port };
    if (named.kind === 'hid') return { connected, profile: undefined };
    if (profile === undefined) {
      throw new Ending(
        EXIT.wrongUse,
        'With --port the profile is needed too: --profile ID. `bismar scale list` shows them.',
      );
    }
    return { connected, profile: await loadProfile(folder, profile) };
  }
  const { scales } = loadWorkshop(folder);
  const scale =
    name === undefined ? [...scales.values()].find(({ port: path }) => path !== undefined) : scales.get(name);
  if (!scale) throw new Ending(EXIT.wrongUse, `Which scale? There are: ${[...scales.keys()].join(', ')}.`);
  if (scale.port === undefined) {
    throw new Ending(EXIT.wrongUse, `The ${scale.id} scale has no port: its display is typed in while weighing.`);
  }
  const chosen = scale.usb === undefined ? (profile ?? scale.profile) : undefined;
  return {
    connected: { ...scale, port: scale.port },
    profile: chosen === undefined ? undefined : await loadProfile(folder, chosen),
  };
}
