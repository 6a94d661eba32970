/** Where a learnt wire profile goes: its name, its file, and the scale of the workshop that it is for. */
import {
  accessSync,
  constants,
  existsSync,
  mkdirSync,
  realpathSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { cleanText } from '../../facts/cleanText.ts';
import { cutToWidth } from '../../facts/textWidth.ts';
import { connectScale } from '../../workshop/connectScale.ts';
import { readWorkshop } from '../../workshop/readWorkshop.ts';
import { Ending, EXIT } from '../exit.ts';
import { readText, shipped, WORKSHOP_FILE } from '../folder.ts';
import type { TeachTalk } from './scaleTeachTalk.ts';

const NAME = /^[a-z0-9][a-z0-9-]{0,39}$/;

/**
 * @returns the file for a new profile
 * @throws Ending when the name can't be one, or nothing can be written there
 */
export function profileFile(folder: string, name: string): string {
  if (!NAME.test(name)) {
    throw new Ending(
      EXIT.wrongUse,
      `"${cutToWidth(cleanText(name), 40)}" can't be the name of a wire profile. Take small letters, digits and hyphens, at most 40, such as kitchen-scale.`,
    );
  }
  if (existsSync(join(shipped('devices'), `${name}.yaml`))) {
    throw new Ending(
      EXIT.wrongUse,
      `"${name}" is the name of a wire profile that comes with bismar. Take another one, such as my-${name.slice(0, 37)}.`,
    );
  }
  const scales = join(folder, 'scales');
  if (!mayWrite(existsSync(scales) ? scales : folder)) {
    throw new Ending(
      EXIT.wrongUse,
      `The wire profile would go into ${cleanText(scales)}, which can't be written to. Look at the rights of that folder.`,
    );
  }
  return join(scales, `${name}.yaml`);
}

/** Asked before the teaching, so that its fruit is not lost. */
function mayWrite(folder: string): boolean {
  try {
    accessSync(folder, constants.W_OK);
    return statSync(folder).isDirectory();
  } catch {
    return false;
  }
}

/**
 * Writes a file whole or not at all. One that is replaced keeps its rights, and a link to it stays a link.
 * @param over whether one that is there may be replaced
 */
export function writeWhole(file: string, text: string, over: boolean): void {
  let half: string | undefined;
  try {
    mkdirSync(dirname(file), { recursive: true });
    if (!over) {
      writeFileSync(file, text, { flag: 'wx' });
      return;
    }
    const real = realpathSync(file);
    half = join(dirname(real), `.${basename(real)}.${process.pid}`);
    writeFileSync(half, text, { flag: 'wx', mode: statSync(real).mode });
    renameSync(half, real);
  } catch (error) {
    if (half !== undefined) rmSync(half, { force: true });
    const { code } = error as NodeJS.ErrnoException;
    throw new Ending(EXIT.failed, `${cleanText(file)} could not be written (${code}). Nothing in it was changed.`);
  }
}

/** Says what connects a scale of the workshop to the profile, and offers to write it. */
export async function offerToConnect(folder: string, name: string, port: string, talk: TeachTalk): Promise<void> {
  const file = join(folder, WORKSHOP_FILE);
  const lines = [`port: ${JSON.stringify(port)}`, `profile: ${name}`];
  const byHand = (): void => {
    talk.say(`Write these two lines under the scale in ${WORKSHOP_FILE}:`);
    for (const line of lines) talk.print(`    ${line}`);
  };
  const text = readText(file);
  const read = readWorkshop(file, text);
  if (!read.ok) return byHand();
  const { scales } = read.workshop;
  const ids = [...scales.keys()];
  let id = await talk.ask(
    `Which scale of the workshop is it? ${ids.join(' or ')}; then its port and profile are written into ${WORKSHOP_FILE}. (Enter: none, leave the file alone)`,
  );
  while (id !== '' && !scales.has(id)) id = await talk.ask(`There are: ${ids.join(', ')}. (Enter: none)`);
  if (id === '') return byHand();
  const changed = connectScale(text, id, port, name);
  const then = changed === undefined ? undefined : readWorkshop(file, changed);
  const scale = then?.ok ? then.workshop.scales.get(id) : undefined;
  if (changed === undefined || scale?.port !== port || scale.profile !== name || readText(file) !== text) {
    talk.say('That is better written by hand there.');
    return byHand();
  }
  writeWhole(file, changed, true);
  talk.say(`The ${id} scale is connected: ${lines.join(', ')}. All else in ${WORKSHOP_FILE} is as it was.`);
}
