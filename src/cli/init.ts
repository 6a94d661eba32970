/** `bismar init DIR`: makes a workshop folder, asking only what can't be guessed. Nothing is ever overwritten. */
import { existsSync, mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { createInterface } from 'node:readline/promises';
import { cleanText } from '../facts/cleanText.ts';
import { profileIds } from '../link/findProfile.ts';
import type { Mass } from '../mass/mass.ts';
import { readMassWithUnit } from '../mass/text.ts';
import { stamp } from '../records/stamp.ts';
import { type NewScale, type NewWorkshop, newWorkshop, USUAL_WORKSHOP } from '../workshop/newWorkshop.ts';
import { Ending, EXIT, type ExitCode } from './exit.ts';
import { isWorkshop, profileFolders } from './folder.ts';
import { hint } from './weigh/hint.ts';

const print = (line: string) => void process.stdout.write(`${line}\n`);

export async function init(dir: string, yes: boolean): Promise<ExitCode> {
  if (isWorkshop(dir)) {
    throw new Ending(EXIT.wrongUse, `${cleanText(dir)} holds a workshop already. Nothing was changed.`);
  }
  const answers = yes || !process.stdin.isTTY ? USUAL_WORKSHOP : await ask(dir);
  const files = newWorkshop(answers, stamp(new Date()).slice(0, 10));
  const there = files.filter(({ path }) => existsSync(join(dir, path)));
  if (there.length > 0) {
    throw new Ending(
      EXIT.wrongUse,
      `${there.map(({ path }) => path).join(', ')} is in ${cleanText(dir)} already. Nothing was changed.`,
    );
  }
  try {
    for (const { path, text } of files) {
      mkdirSync(dirname(join(dir, path)), { recursive: true });
      writeFileSync(join(dir, path), text, { mode: 0o600, flag: 'wx' });
    }
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    throw new Ending(
      EXIT.failed,
      `The workshop could not be written to ${cleanText(dir)} (${code}). Choose a folder that you may write to.`,
    );
  }
  print(`A workshop is in ${cleanText(dir)}:`);
  for (const { path } of files) print(`  ${path}`);
  print('Put your own vessels, ingredients, lots and scales into workshop.yaml, then:');
  print(`  ${hint('plan', dir)}`);
  return EXIT.done;
}

async function ask(dir: string): Promise<NewWorkshop> {
  const terminal = createInterface({ input: process.stdin, output: process.stdout });
  try {
    const name = (await terminal.question(`Name of the workshop [${USUAL_WORKSHOP.name}]: `)).trim();
    const people = (await terminal.question('Who weighs? Names with commas between [Maker]: '))
      .split(',')
      .map((each) => each.trim());
    const scales: NewScale[] = [];
    for (const usual of USUAL_WORKSHOP.scales) {
      const scale = await askScale(terminal, usual, dir);
      if (scale) scales.push(scale);
    }
    return {
      name: name === '' ? USUAL_WORKSHOP.name : cleanText(name),
      operators: people.every((each) => each === '')
        ? USUAL_WORKSHOP.operators
        : people.filter((each) => each !== '').map(cleanText),
      scales: scales.length === 0 ? USUAL_WORKSHOP.scales : scales,
    };
  } catch (error) {
    // Ctrl+C or Ctrl+D at a question, as the readline module tells it.
    if (!(error instanceof Error) || error.name !== 'AbortError') throw error;
    throw new Ending(EXIT.failed, '\nLeft. Nothing was written.');
  } finally {
    terminal.close();
  }
}

type Terminal = ReturnType<typeof createInterface>;

async function askScale(terminal: Terminal, usual: NewScale, dir: string): Promise<NewScale | undefined> {
  const has = await terminal.question(`Is there a ${usual.id} scale? [yes]: `);
  if (/^n/i.test(has.trim())) return undefined;
  const capacity = await askMass(terminal, `  Its largest load, such as 5 kg`, usual.capacity);
  const d = await askMass(terminal, `  The step of its display, such as 0.1 g`, usual.d, capacity);
  const port = (
    await terminal.question('  Its port, such as /dev/ttyUSB0 (Enter: none, its display is typed in): ')
  ).trim();
  if (port === '') return { id: usual.id, capacity, d, link: 'keyed' };
  const known = await profileIds(profileFolders(dir));
  for (;;) {
    const profile = (
      await terminal.question(`  Its wire profile (${known.join(', ')}; Enter: not known, learn it afterwards): `)
    ).trim();
    if (profile === '') {
      const teach = hint(`scale teach ${usual.id}-scale --port ${cleanText(port)}`, dir);
      print('  Its display is typed in until bismar has learnt how it speaks:');
      print(`    ${teach}`);
      return { id: usual.id, capacity, d, link: 'keyed' };
    }
    if (known.includes(profile)) return { id: usual.id, capacity, d, link: { port: cleanText(port), profile } };
    print(`  There is no such profile. \`${hint('scale list')}\` describes them.`);
  }
}

/** @param below what the answer must be less than */
async function askMass(terminal: Terminal, what: string, usual: Mass, below?: Mass): Promise<Mass> {
  for (;;) {
    const text = (await terminal.question(`${what} [${usual / 1e6} g]: `)).trim();
    const found = text === '' ? usual : readMassWithUnit(text);
    if (found !== undefined && found > 0 && (below === undefined || found < below)) return found;
    if (found !== undefined && found > 0)
      print('  The step is not less than the largest load. Ctrl+C leaves; begin anew.');
    else print('  That is no weight with its unit, such as 0.1 g or 5 kg.');
  }
}
