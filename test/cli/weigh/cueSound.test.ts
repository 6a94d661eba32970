import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { createCueSound } from '../../../src/cli/weigh/cueSound.ts';
import type { Cue } from '../../../src/signal/cue.ts';
import { createFakeClock } from '../../fakeClock.ts';
import { tempFolder } from '../../records/tempFolder.ts';

const NODE = process.execPath;

function rig(wish: Parameters<typeof createCueSound>[0]) {
  const folder = tempFolder();
  const clock = createFakeClock();
  const written: string[] = [];
  const sound = createCueSound(wish, { folder, clock, write: (text) => written.push(text) });
  return { folder, clock, written, sound };
}

async function until(holds: () => boolean): Promise<void> {
  for (let turns = 0; !holds() && turns < 2000; turns++) await new Promise((resolve) => setTimeout(resolve, 5));
  expect(holds()).toBe(true);
}

describe('the bell', () => {
  it.each<[Cue, number]>([
    ['pour', 0],
    ['ease', 1],
    ['drips', 2],
    ['stop', 3],
  ])('%s: %i strokes', async (cue, strokes) => {
    const { clock, written, sound } = rig('bell');
    sound.say(cue);
    await clock.advance(2000);
    expect(written).toEqual(Array(strokes).fill('\x07'));
  });

  it('is struck once for each change, and the last word cuts the one before short', async () => {
    const { clock, written, sound } = rig('bell');
    sound.say('drips');
    sound.say('drips');
    sound.say('stop');
    await clock.advance(2000);
    expect(written).toHaveLength(1 + 3);
    sound.say(undefined);
    sound.say('stop');
    sound.close();
    await clock.advance(2000);
    expect(written).toHaveLength(1 + 3 + 1);
  });
});

describe('a program', () => {
  it('is run in the workshop folder with the word put in, and no shell reads its arguments', async () => {
    const script = "require('fs').writeFileSync('heard.txt', process.argv.slice(1).join('|'))";
    const { folder, sound } = rig({ run: [NODE, '-e', script, '{cue}.wav', '$(touch made); touch made'] });
    sound.say('ease');
    await until(() => existsSync(join(folder, 'heard.txt')) && readFileSync(join(folder, 'heard.txt'), 'utf8') !== '');
    expect(readFileSync(join(folder, 'heard.txt'), 'utf8')).toBe('ease.wav|$(touch made); touch made');
    expect(existsSync(join(folder, 'made'))).toBe(false);
    expect(sound.trouble).toBeUndefined();
  });

  it('that is not there is said in one sentence, once', async () => {
    const { sound } = rig({ run: ['no-such-program-here', '{cue}'] });
    sound.say('ease');
    await until(() => sound.trouble !== undefined);
    expect(sound.trouble).toBe(
      'No sound for the cues: no-such-program-here can not be run. They are on the screen; mend `cue sound` in workshop.yaml.',
    );
    sound.say('stop');
    expect(sound.trouble).toContain('no-such-program-here');
    sound.close();
  });

  it('that fails is said as well', async () => {
    const { sound } = rig({ run: [NODE, '-e', 'process.exit(7)'] });
    sound.say('stop');
    await until(() => sound.trouble !== undefined);
    expect(sound.trouble).toContain('ended with the number 7');
  });
});
