/** `bismar simulate`. */
import { simulate as simulateScale } from '../link/simulateCommand.ts';
import { readMassWithUnit } from '../mass/text.ts';
import { usualNoise } from '../simulate/instrument.ts';
import { Ending, EXIT, type ExitCode } from './exit.ts';
import { loadProfile } from './folder.ts';

interface SimulateOptions {
  readonly port?: string | undefined;
  readonly capacity: string;
  readonly d: string;
  readonly in: string;
}

export async function simulate(id: string, options: SimulateOptions): Promise<ExitCode> {
  const profile = await loadProfile(options.in, id);
  const capacity = readMassWithUnit(options.capacity);
  const d = readMassWithUnit(options.d);
  if (capacity === undefined || d === undefined || d <= 0 || capacity <= d) {
    throw new Ending(EXIT.wrongUse, '--capacity and --d want weights with units, such as --capacity 5kg --d 0.1g.');
  }
  const code = await simulateScale({
    profile,
    instrument: { capacity, d, noise: usualNoise(d), perSecond: profile.linesPerSecond },
    path: options.port,
    input: process.stdin,
    print: (line) => void process.stdout.write(`${line}\n`),
  });
  return code === 0 ? EXIT.done : EXIT.noScale;
}
