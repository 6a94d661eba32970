/** The terminal itself: given back clean however the program ends, any size, and without colours where none are wanted. */
import { expect } from 'vitest';
import { type Journey, journey, THREE_WAYS } from './journey.ts';
import type { SeenProgram } from './seenProgram.ts';

/** The main screen, a visible cursor, no bracketed paste: judged by the last word on each. */
function expectGivenBack({ terminal, written }: SeenProgram): void {
  expect(terminal.buffer.active.type).toBe('normal');
  const last = (mode: number) => written.match(new RegExp(`\\x1b\\[\\?${mode}[hl]`, 'g'))?.at(-1);
  expect(last(1049)).toBe('\x1b[?1049l');
  expect(last(25)).toBe('\x1b[?25h');
  expect([undefined, '\x1b[?2004l']).toContain(last(2004));
}

/** Starts the trial batch and waits until its screen stands. */
async function atGathering({ start }: Journey, options: Parameters<Journey['start']>[1] = {}): Promise<SeenProgram> {
  const program = start(['weigh', 'trial'], options);
  await program.waitForText('GATHER');
  expect(program.terminal.buffer.active.type).toBe('alternate');
  return program;
}

for (const key of ['q', 'ctrl+c']) {
  journey(
    `the terminal is given back after ${key}, and says how to go on`,
    async (here) => {
      const program = await atGathering(here);
      program.press(key);
      expect(await program.exited).toEqual({ code: 0, signal: 0 });
      await program.waitForText('bismar resume');
      expectGivenBack(program);
    },
    { formula: THREE_WAYS },
  );
}

for (const signal of ['SIGTERM', 'SIGHUP'] as const) {
  journey(
    `the terminal is given back after ${signal}`,
    async (here) => {
      const program = await atGathering(here);
      program.signal(signal);
      expect((await program.exited).signal).toBe(0);
      await program.screen();
      expectGivenBack(program);
    },
    { formula: THREE_WAYS },
  );
}

journey(
  'the terminal is given back after a fault of the program, which says what is safe',
  async (here) => {
    const fault = 'process.on("SIGUSR2", () => { throw new Error("a fault made by the test"); })';
    const program = await atGathering(here, { nodeOptions: ['--import', `data:text/javascript,${fault}`] });
    program.signal('SIGUSR2');
    expect(await program.exited).toEqual({ code: 1, signal: 0 });
    const screen = await program.waitForText('bismar broke: Error: a fault made by the test');
    expect(screen.replace(/\s+/g, ' ')).toContain('All that was accepted is in the batch log');
    expectGivenBack(program);
  },
  { formula: THREE_WAYS },
);

journey(
  'a resize redraws the whole screen; a window too small says so, and nothing is lost',
  async ({ maker, start }) => {
    const program = start(['weigh', 'trial']);
    await maker.work(({ glance }) => glance.headline === 'PUT ON' && glance.atRest);
    const before = withoutNumbers(await program.screen());

    program.resize(100, 30);
    const large = await program.waitForText(/put Liquids beaker, glass on the bench scale/);
    expect(large.split('\n').length).toBe(30);
    program.resize(60, 20);
    await program.waitForText(/This window has 60 x 20 characters; the bench needs 80 x 24/);
    program.resize(80, 24);
    await program.waitForText(/PUT ON .* on the bench scale/);
    await expect.poll(async () => withoutNumbers(await program.screen())).toBe(before);
  },
  { formula: THREE_WAYS },
);

/** A screen with the numbers line masked: they may flicker. */
function withoutNumbers(screen: string): string {
  return screen.replace(/^ *on bench.*$/m, '(numbers)');
}

/** SGR sequences that set a colour. */
const COLOUR = /\x1b\[(?:\d+;)*(?:3[0-8]|4[0-8]|9[0-7]|10[0-7])(?:;[\d;]*)?m/;

for (const [what, environment, coloured] of [
  ['no colour is used where NO_COLOR is set', { NO_COLOR: '1' }, false],
  ['colour is used where nothing speaks against it', {}, true],
] as const) {
  journey(
    what,
    async ({ maker, start }) => {
      const program = start(['weigh', 'trial'], { environment });
      await maker.work(({ glance }) => glance.headline === 'ADD');
      expect(COLOUR.test(program.written)).toBe(coloured);
    },
    { formula: THREE_WAYS },
  );
}
