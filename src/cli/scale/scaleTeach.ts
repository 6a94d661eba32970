/** `bismar scale teach NAME --port P`: learns how an unknown scale speaks, and writes its wire profile. */
import { existsSync } from 'node:fs';
import { resolve } from 'node:path';
import type { Readable } from 'node:stream';
import { cleanText } from '../../facts/cleanText.ts';
import { cutToWidth } from '../../facts/textWidth.ts';
import { realClock } from '../../link/clock.ts';
import { openPort as openRealPort } from '../../link/openPort.ts';
import type { OpenPort } from '../../link/port.ts';
import type { Clock } from '../../signal/clock.ts';
import { learn } from '../../teach/learn.ts';
import { checkProfile } from '../../wire/checkProfile.ts';
import { readProfile } from '../../wire/readProfile.ts';
import { readPortText } from '../../workshop/portText.ts';
import { Ending, EXIT, type ExitCode } from '../exit.ts';
import { isWorkshop, WORKSHOP_FILE } from '../folder.ts';
import { Left } from './checkPan.ts';
import { offerToConnect, profileFile, writeWhole } from './scaleTeachFile.ts';
import { findLine, type TeachPort } from './scaleTeachLine.ts';
import { gather } from './scaleTeachMoments.ts';
import { sayParts, showLive } from './scaleTeachProof.ts';
import { openTalk, type TeachTalk } from './scaleTeachTalk.ts';
import { NOTHING_WRITTEN } from './scaleTeachTrouble.ts';

export interface ScaleTeachOptions {
  readonly in: string;
  readonly port?: string | undefined;
}

/** What teaching needs of the world; tests bring their own. */
export interface TeachWorld {
  readonly input: Readable;
  readonly print: (line: string) => void;
  readonly openPort: OpenPort;
  readonly clock: Clock;
  /** Hands over what ends the talk when the program is interrupted. */
  readonly onInterrupt?: (leave: () => void) => void;
}

/** Teaches one scale. @returns done when its profile is written */
export async function scaleTeach(name: string, options: ScaleTeachOptions, world?: TeachWorld): Promise<ExitCode> {
  const { in: folder } = options;
  if (!isWorkshop(folder)) {
    throw new Ending(
      EXIT.wrongUse,
      `There is no workshop in ${cleanText(resolve(folder))} (no ${WORKSHOP_FILE}), so there is no place for the wire profile. \`bismar init DIR\` makes one.`,
    );
  }
  const file = profileFile(folder, name);
  const port = portFrom(options.port);
  const { input, print, openPort, clock, onInterrupt } = world ?? realWorld();
  const talk = openTalk(input, print);
  onInterrupt?.(talk.close);
  let isWritten = false;
  try {
    const over = existsSync(file);
    if (over) await askToReplace(name, talk);
    const learnt = await teach(name, { ...port, openPort, clock }, talk);
    writeWhole(file, learnt, over);
    isWritten = true;
    talk.say(`The wire profile is written: ${file}`);
    await offerToConnect(folder, name, port.path, talk);
    return EXIT.done;
  } catch (error) {
    if (!(error instanceof Left)) throw error;
    if (isWritten) return EXIT.done; // what was left is only the workshop's file
    throw new Ending(EXIT.failed, `The teaching was left before its end. ${NOTHING_WRITTEN}`);
  } finally {
    talk.close();
  }
}

/** @returns the text of the profile's file */
async function teach(name: string, port: TeachPort, talk: TeachTalk): Promise<string> {
  talk.say(
    'bismar listens to the scale and asks what it can not hear. Have two different things at hand that stay as they are, such as a cup and a jar. Switch the scale on. q leaves at any time, and nothing is written before the end.',
  );
  const line = await findLine(port, talk);
  const evidence = await gather(line, port, talk);
  const learnt = learn(evidence, name);
  if (learnt.parts.length > 0) talk.say('What is known of it, how surely, and from what:');
  sayParts(port.isTcp ? learnt.parts.filter(({ part }) => part !== 'line settings') : learnt.parts, talk);
  if (!learnt.ok) {
    const said = `${learnt.why} ${learnt.todo}`;
    throw new Ending(EXIT.failed, said.includes(NOTHING_WRITTEN) ? said : `${said} ${NOTHING_WRITTEN}`);
  }
  const file = `${name}.yaml`;
  const { ok, lines } = checkProfile(name, file, learnt.yaml);
  for (const each of lines) {
    if (each.length > 80) talk.say(each.trim(), '  ');
    else talk.print(each);
  }
  const read = readProfile(name, file, learnt.yaml);
  if (!ok || !read.ok) {
    throw new Ending(EXIT.failed, `What was learnt makes no good wire profile: please report this. ${NOTHING_WRITTEN}`);
  }
  if (!(await showLive(name, read.profile, port, talk))) {
    throw new Ending(
      EXIT.failed,
      `Then it was not learnt rightly. Teach again, with other things on the pan. ${NOTHING_WRITTEN}`,
    );
  }
  return learnt.yaml;
}

async function askToReplace(name: string, talk: TeachTalk): Promise<void> {
  const answer = await talk.ask(
    `This workshop has a wire profile "${name}" already. Shall the new one take its place, once it is learnt? (y: yes; Enter: no)`,
  );
  if (!/^y/i.test(answer)) throw new Ending(EXIT.wrongUse, 'Then give the new one another name. Nothing was changed.');
}

function portFrom(text: string | undefined): Pick<TeachPort, 'path' | 'shown' | 'isTcp'> {
  const named = text === undefined ? undefined : readPortText(text);
  if (text === undefined || text === '' || named === undefined) {
    throw new Ending(
      EXIT.wrongUse,
      'Which port is the scale on? --port wants the path of a serial port, such as /dev/ttyUSB0, or tcp:HOST:PORT. `bismar scale list` shows the ports there are.',
    );
  }
  if (named.kind === 'hid') {
    throw new Ending(
      EXIT.wrongUse,
      `A USB scale of the HID standard needs no teaching: put it into ${WORKSHOP_FILE} as port: ${JSON.stringify(text)}.`,
    );
  }
  return { path: text, shown: cutToWidth(cleanText(text), 60), isTcp: named.kind === 'tcp' };
}

/** Somebody must stand at the scale: what is piped in can't see its display. */
function realWorld(): TeachWorld {
  if (!process.stdin.isTTY) {
    throw new Ending(
      EXIT.wrongUse,
      `Teaching needs somebody at the scale who answers: run it in a terminal. ${NOTHING_WRITTEN}`,
    );
  }
  return {
    input: process.stdin,
    print: (line) => void process.stdout.write(`${line}\n`),
    openPort: openRealPort,
    clock: realClock,
    // Ctrl+C leaves as q does.
    onInterrupt: (leave) => void process.once('SIGINT', leave),
  };
}
