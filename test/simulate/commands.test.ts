import { expect, test } from 'vitest';
import { mass } from '../../src/mass/mass.ts';
import { createPanCommands, QUIT } from '../../src/simulate/commands.ts';
import { createInstrument } from '../../src/simulate/instrument.ts';
import { seededRandom } from '../../src/simulate/seededRandom.ts';

function setUp() {
  const done: string[] = [];
  const commands = createPanCommands(
    () => instrument,
    {
      silent: (quiet) => done.push(quiet ? 'silent' : 'speaks'),
      cutNextLine: () => done.push('cut'),
      pressSend: () => done.push('send'),
      sendRaw: () => done.push('noise'),
      drop: () => done.push('drop'),
    },
    0,
  );
  const settings = { capacity: mass(5e9), d: mass(1e5), noise: mass(0) };
  const instrument = createInstrument({ ...settings, units: ['g', 'oz'] }, commands.loadAt, seededRandom(1));
  return { commands, instrument, done };
}

test('put, pour, take and lift change the true load', () => {
  const { commands } = setUp();
  expect(commands.run('put 296.4')).toBe('296.400 g on the pan');
  commands.run('pour 10 5');
  expect(commands.loadAt(1000)).toBe(301_400_000);
  expect(commands.loadAt(9000)).toBe(306_400_000);
  expect(commands.run('take 6.4')).toBe('300.000 g on the pan');
  expect(commands.run('lift')).toBe('0.000 g on the pan');
  expect(commands.run('lift')).toBe('300.000 g on the pan');
  expect(commands.run('put 10 oz')).toBe('283.495 g on the pan');
});

test('keys and faults reach the scale and the wire', () => {
  const { commands, instrument, done } = setUp();
  commands.run('unit');
  expect(instrument.advance(200).at(-1)?.unit).toBe('oz');
  commands.run('off');
  expect(instrument.on).toBe(false);
  commands.run('on');
  expect(instrument.on).toBe(true);
  commands.run('low');
  expect(instrument.advance(400).at(-1)?.lowSupply).toBe(true);
  commands.run('low');
  expect(instrument.advance(600).at(-1)?.lowSupply).toBeUndefined();
  for (const verb of ['silent', 'silent', 'cut', 'noise', 'drop']) commands.run(verb);
  expect(done).toEqual(['silent', 'speaks', 'cut', 'noise', 'drop']);
  expect(commands.run('quit')).toBe(QUIT);
});

test('what a scale does by itself', () => {
  const { commands, instrument } = setUp();
  const shows = (atMs: number) => Number(instrument.advance(atMs).at(-1)?.number.digits) / 10;
  commands.run('put 300');
  expect(shows(5000)).toBe(300);
  commands.run('freeze');
  commands.run('put 320');
  expect(shows(10_000)).toBe(300);
  commands.run('freeze');
  expect(shows(15_000)).toBe(320);
  commands.run('snap 321 2');
  expect(shows(20_000)).toBe(321);
  commands.run('snap 0 0');
  commands.run('drift -0.5');
  expect(shows(30_000)).toBe(315);
  commands.run('drift 0');
  commands.run('tare');
  expect(shows(35_000)).toBe(0);
  commands.run('shake 2');
  const figures = instrument.advance(45_000).map(({ number }) => Number(number.digits));
  expect(Math.max(...figures) - Math.min(...figures)).toBeGreaterThan(20);
});

test.each(['snap', 'snap 5', 'drift', 'drift fast', 'shake -1'])('"%s" is explained', (line) => {
  expect(setUp().commands.run(line)).toMatch(/ needs grams/);
});

test.each(['put', 'put -5', 'put much', 'pour', 'pour 5 0', 'pour 5 fast', 'take x'])('"%s" is explained', (line) => {
  expect(setUp().commands.run(line)).toMatch(/needs grams/);
});

test.each(['shove', 'constructor', '__proto__'])('"%s" is no command', (line) => {
  expect(setUp().commands.run(line)).toBe('no such command; help shows them');
});
