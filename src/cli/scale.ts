/** `bismar scale list` and `bismar scale watch`. */
import { cleanText } from '../facts/cleanText.ts';
import { realClock } from '../link/clock.ts';
import { profileIds } from '../link/findProfile.ts';
import { listPorts } from '../link/listPorts.ts';
import { createSerialLink } from '../link/serialLink.ts';
import { openSerialPort } from '../link/serialPort.ts';
import { printMass } from '../mass/text.ts';
import type { Profile } from '../wire/profile.ts';
import type { SourceEvent } from '../wire/reading.ts';
import { Ending, EXIT, type ExitCode } from './exit.ts';
import { isWorkshop, loadProfile, loadWorkshop, profileFolders } from './folder.ts';

const print = (line: string) => void process.stdout.write(`${line}\n`);

export async function list(folder: string): Promise<ExitCode> {
  const found = await listPorts();
  print('Ports of this computer:');
  for (const port of found.ports)
    print(
      `  ${[port.path, port.maker ?? '', port.likely ? '' : '(perhaps nothing behind it)']
        .filter((part) => part !== '')
        .map(cleanText)
        .join('  ')}`,
    );
  if (found.ports.length === 0) print('  none');
  if (found.say !== undefined) print(`  ${found.say}`);
  print('Wire profiles:');
  for (const id of await profileIds(profileFolders(folder))) {
    const profile = await loadProfile(folder, id);
    print(`  ${id}: ${cleanText(profile.describes)}`);
  }
  if (!isWorkshop(folder)) return EXIT.done;
  print('Scales of this workshop:');
  for (const scale of loadWorkshop(folder).scales.values()) {
    const where = scale.port === undefined ? 'no port, typed in' : `${scale.port}, profile ${scale.profile}`;
    print(`  ${scale.id}: ${cleanText(where)}`);
  }
  return EXIT.done;
}

interface WatchOptions {
  readonly port?: string | undefined;
  readonly profile?: string | undefined;
  readonly count?: string | undefined;
  readonly in: string;
}

/** Prints what a scale says until Ctrl+C, or until `--count` lines have come. */
export async function watch(name: string | undefined, options: WatchOptions): Promise<ExitCode> {
  const { scale, path, profile } = await toWatch(name, options);
  const most = options.count === undefined ? Number.POSITIVE_INFINITY : Number(options.count);
  if (!(most > 0)) throw new Ending(EXIT.wrongUse, '--count wants a number above zero.');
  let lines = 0;
  let code: ExitCode = EXIT.done;
  await new Promise<void>((resolve) => {
    const link = createSerialLink({ scale, path, profile, openPort: openSerialPort, clock: realClock });
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

function told(event: Exclude<SourceEvent, { kind: 'link' }>): string {
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
): Promise<{ scale: string; path: string; profile: Profile }> {
  if (port !== undefined) {
    if (profile === undefined) {
      throw new Ending(
        EXIT.wrongUse,
        'With --port the profile is needed too: --profile ID. `bismar scale list` shows them.',
      );
    }
    return { scale: name ?? 'scale', path: port, profile: await loadProfile(folder, profile) };
  }
  const { scales } = loadWorkshop(folder);
  const scale =
    name === undefined ? [...scales.values()].find(({ port: path }) => path !== undefined) : scales.get(name);
  if (!scale) throw new Ending(EXIT.wrongUse, `Which scale? There are: ${[...scales.keys()].join(', ')}.`);
  if (scale.port === undefined || scale.profile === undefined) {
    throw new Ending(EXIT.wrongUse, `The ${scale.id} scale has no port: its display is typed in while weighing.`);
  }
  return { scale: scale.id, path: scale.port, profile: await loadProfile(folder, profile ?? scale.profile) };
}
