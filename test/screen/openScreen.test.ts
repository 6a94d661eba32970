/** The screen as a whole on a terminal: what must never be seen, the keyboard, and giving the terminal back. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { openScreen } from '../../src/screen/openScreen.tsx';
import type { BenchView } from '../../src/screen/view.ts';
import { BLUE_DYE, drawLive, GLUCOSIDE, SCENES, type Scene } from './scenes.ts';
import { keyboard, openSeen, restoreTerminal, SeenTerminal } from './seenTerminal.ts';

const scene = (name: string): Scene => {
  const found = SCENES[name];
  if (!found) throw new Error(`no scene ${name}`);
  return found;
};

const rowsOfText = (text: string) => text.split('\n');

describe('what must never be seen', () => {
  it.each(['pour', 'in-band', 'hold', 'blind'])(
    'an old weight in the mood %s once the scale is silent',
    async (mood) => {
      const { view } = scene(mood);
      // Numbers that stand nowhere else on the screen.
      const live = drawLive(141.4, GLUCOSIDE);
      const seen = openSeen({ ...view, say: 'Words.', detail: [] });
      seen.screen.live.set(live);
      const before = await seen.look();
      expect(before).toContain('141.4');
      expect(before).toContain('389.9');
      seen.screen.live.set({ ...live, fresh: false, state: 'silent' });
      const after = await seen.look();
      expect(after).not.toContain('141.4');
      expect(after).not.toContain('389.9');
      expect(after).toContain('---');
      // Nothing of the large figures is left, and the bar is gone. Large words and dashes have no half blocks.
      const lane = rowsOfText(after).filter((line) => line.includes('\u2503'));
      expect(lane.every((line) => !line.includes('\u2588'))).toBe(true);
      await seen.screen.close();
    },
  );

  it('an old large number: the dashes stand where it stood', async () => {
    const { view } = scene('pour');
    const seen = openSeen(view);
    const live = drawLive(60, GLUCOSIDE);
    seen.screen.live.set({ ...live, fresh: false });
    const silent = await seen.look();
    seen.screen.live.set(live);
    await seen.look();
    seen.screen.live.set({ ...live, fresh: false });
    expect(await seen.look()).toBe(silent);
    // Three dashes: one row of ink between the line of small numbers and the lane.
    const rows = rowsOfText(silent);
    const first = rows.findIndex((line) => line.includes('still to add')) + 1;
    const inked = rows.slice(first, first + 7).filter((line) => line.trim() !== '');
    expect(inked.map((line) => line.trim())).toEqual(['████████  ████████  ████████']);
    await seen.screen.close();
  });

  it('a line broken or a row scrolled by hostile or overlong names', async () => {
    const hostile = fc.oneof(
      fc.string({ unit: 'binary', maxLength: 40 }),
      fc.string({ unit: 'grapheme', maxLength: 120 }),
      fc.constantFrom(
        '\x1b[2J\x1b[H\x1b]0;owned\x07',
        '\x1b[31mred',
        'a\nb\r\nc',
        '\u202eevil',
        '\u{1f525}'.repeat(50),
        'シ'.repeat(90),
        'W'.repeat(300),
        '',
      ),
    );
    const view: fc.Arbitrary<BenchView> = fc.record({
      mood: fc.constantFrom(...Object.values(SCENES).map((each) => each.view.mood)),
      title: hostile,
      where: hostile,
      headline: fc.constantFrom('POUR', 'TAKE OUT', 'READY'),
      say: hostile,
      detail: fc.array(hostile, { maxLength: 3 }),
      cautions: fc.array(hostile, { maxLength: 3 }),
      choices: fc.uniqueArray(fc.record({ key: fc.constantFrom('a', 'b', 'Enter'), label: hostile }), {
        maxLength: 3,
        selector: ({ key }) => key,
      }),
      done: fc.array(fc.record({ name: hostile, net: fc.constant('1.0 g') }), { maxLength: 5 }),
      next: fc.array(hostile, { maxLength: 5 }),
      elsewhere: fc.option(hostile, { nil: undefined }),
      foot: fc.option(hostile, { nil: undefined }),
    });
    const seen = openSeen(scene('pour').view);
    seen.screen.live.set({ ...drawLive(152.6, GLUCOSIDE), scaleName: '\x1b[2Jbench\u{1f525}' });
    await fc.assert(
      fc.asyncProperty(view, async (any) => {
        seen.screen.setView(any);
        const text = await seen.look();
        const { active } = seen.terminal.terminal.buffer;
        expect(active.baseY).toBe(0);
        expect(rowsOfText(text)[23]).toBe('');
        for (let row = 0; row < 24; row++) expect(active.getLine(row)?.isWrapped).toBe(false);
        expect(text).not.toContain('owned');
      }),
      { numRuns: 80 },
    );
    // And nothing of it stays.
    seen.screen.setView(scene('pour').view);
    seen.screen.live.set(scene('pour').live);
    seen.clock.move(50);
    const after = await seen.look();
    const anew = openSeen(scene('pour').view);
    anew.screen.live.set(scene('pour').live);
    expect(after).toBe(await anew.look());
    await anew.screen.close();
    await seen.screen.close();
  });
});

describe('a terminal too small', () => {
  it.each([
    [79, 24],
    [80, 23],
    [40, 12],
    [20, 5],
    [30, 2],
  ])('%i x %i: says what to do and still shows what remains', async (columns, rows) => {
    const { view, live } = scene('pour');
    const seen = openSeen(view, { columns, rows });
    seen.screen.live.set(live);
    const text = await seen.look();
    expect(rowsOfText(text)[0]).toContain('POUR 14.4 g');
    if (rows >= 5) expect(text).toContain('Pour');
    if (rows >= 12) {
      expect(text.replaceAll(/\s+/g, ' ')).toContain(`This window has ${columns} x ${rows} characters`);
      expect(text.replaceAll(/\s+/g, ' ')).toContain('Make it larger');
    }
    seen.screen.live.set({ ...live, fresh: false });
    expect(await seen.look()).not.toContain('14.4');
    await seen.screen.close();
  });

  it('becomes the whole screen when it is made larger', async () => {
    const { view, live } = scene('pour');
    const seen = openSeen(view, { columns: 60, rows: 20 });
    seen.screen.live.set(live);
    await seen.look();
    seen.terminal.resize(80, 24);
    const text = await seen.look();
    expect(text).not.toContain('This window');
    expect(text).toContain('163.7');
    await seen.screen.close();
  });
});

describe('the keyboard', () => {
  it('echoes nothing from the first frame on: what is typed then would push the frame up a row', async () => {
    const terminal = new SeenTerminal(80, 24);
    const stdin = keyboard();
    const modes: { readonly raw: boolean; readonly written: number }[] = [];
    stdin.setRawMode = (raw) => {
      modes.push({ raw, written: terminal.written.length });
      return stdin;
    };
    const screen = openScreen({
      stdout: terminal.stdout,
      stdin,
      environment: {},
      first: scene('pour').view,
      onKey: () => {},
    });
    await screen.drawn();
    expect(modes[0]).toEqual({ raw: true, written: 0 });
    await screen.close();
    expect(modes.at(-1)?.raw).toBe(false);
  });

  it('tells keys and pastes apart', async () => {
    const seen = openSeen(scene('hold').view);
    await seen.look();
    for (const text of ['d', '\r', ' ', '\x1b[A', '\x7f', '\x03', 'é']) await seen.type(text);
    await seen.type('GL-30\r');
    await seen.type('\x1b[200~PX-8\x1b[201~');
    expect(seen.inputs).toEqual([
      { key: 'd' },
      { key: 'enter' },
      { key: 'space' },
      { key: 'up' },
      { key: 'backspace' },
      { key: 'ctrl+c' },
      { key: 'é' },
      { paste: 'GL-30' },
      { paste: 'PX-8' },
    ]);
    await seen.screen.close();
  });

  it('keeps what is typed in a line until Enter', async () => {
    const seen = openSeen(scene('keyed').view);
    await seen.look();
    for (const text of ['4', '1', '9', '\x7f', '5', '.', '2']) await seen.type(text);
    expect(await seen.look()).toContain('> 415.2_');
    expect(seen.answers).toEqual([]);
    await seen.type('\r');
    expect(seen.answers).toEqual(['415.2']);
    expect(seen.inputs).toEqual([]);
    expect(await seen.look()).toContain('> _');
    await seen.screen.close();
  });

  it('forgets what is typed when another question comes', async () => {
    const { view } = scene('keyed');
    const seen = openSeen(view);
    await seen.look();
    await seen.type('4');
    seen.screen.setView({ ...view, ask: { prompt: 'And now?', kind: 'number' } });
    const text = await seen.look();
    expect(text).toContain('And now?');
    expect(text).toContain('> _');
    await seen.screen.close();
  });

  it('turns the pages of a long list by itself, and tells the arrows on where there is but one page', async () => {
    const { view } = scene('gather');
    const long = Array.from({ length: 90 }, (_, index) => ({ name: `item ${index};` }));
    const seen = openSeen({ ...view, list: long });
    expect(await seen.look()).toContain('item 0;');
    await seen.type('\x1b[C');
    const second = await seen.look();
    expect(second).not.toContain('item 0;');
    expect(second).toContain('Page 2 of');
    await seen.type('\x1b[D');
    expect(await seen.look()).toContain('item 0;');
    expect(seen.inputs).toEqual([]);
    seen.screen.setView(scene('pour').view);
    await seen.look();
    await seen.type('\x1b[C');
    expect(seen.inputs).toEqual([{ key: 'right' }]);
    await seen.screen.close();
  });
});

describe('time', () => {
  it('counts a step down by the clock that was handed in', async () => {
    const { view } = scene('step');
    const seen = openSeen({ ...view, timer: { startedAt: 0, forMs: 2000 } });
    const first = await seen.look();
    expect(first).toContain(' left');
    seen.clock.move(999);
    expect(await seen.look()).toBe(first);
    seen.clock.move(1);
    expect(await seen.look()).not.toBe(first);
    // The parts wait for the next tick only after they were drawn.
    for (let second = 0; second < 3; second++) {
      seen.clock.move(1000);
      await seen.look();
    }
    expect(await seen.look()).toContain('past the time');
    await seen.screen.close();
  });
});

describe('colours', () => {
  it('are not sent when NO_COLOR is set, and the moods still differ', async () => {
    const environment = { NO_COLOR: '1', LANG: 'C.UTF-8' };
    const looks = new Set<string>();
    for (const mood of ['pour', 'in-band', 'hold', 'blind']) {
      const seen = openSeen(scene(mood).view, { environment });
      seen.screen.live.set(scene(mood).live);
      looks.add(await seen.look());
      expect(seen.terminal.written, 'no colour').not.toMatch(/\x1b\[(?:3[0-8]|4[0-8]|9\d|10\d)[;m]/);
      expect(seen.terminal.written, 'inverse for the headline').toContain('\x1b[7m');
      await seen.screen.close();
    }
    expect(looks.size).toBe(4);
  });

  it('are sent otherwise', async () => {
    const seen = openSeen(scene('hold').view);
    seen.screen.live.set(scene('hold').live);
    await seen.look();
    expect(seen.terminal.written).toMatch(/\x1b\[48;2;213;94;0m/);
    await seen.screen.close();
  });
});

it('draws with ASCII alone on a bare console', async () => {
  for (const [name, { view, live }] of Object.entries(SCENES)) {
    const seen = openSeen(view, { environment: { TERM: 'linux' } });
    seen.screen.live.set(live);
    expect(await seen.look(), name).toMatch(/^[\x20-\x7e\n]*$/);
    await seen.screen.close();
  }
});

describe('giving the terminal back', () => {
  it('leaves the main screen as it was and the cursor visible', async () => {
    const seen = openSeen(scene('pour').view);
    await seen.look();
    expect(seen.terminal.terminal.buffer.active.type).toBe('alternate');
    await seen.screen.close();
    await seen.terminal.seen();
    expect(seen.terminal.terminal.buffer.active.type).toBe('normal');
    expect(await seen.terminal.seen()).toMatch(/^\s*$/);
    expect(cursorIsVisible(seen.terminal.written)).toBe(true);
    expect(seen.terminal.terminal.modes.bracketedPasteMode).toBe(false);
  });

  it('does so at once when the program crashes, and only once', async () => {
    const seen = openSeen(scene('pour').view);
    seen.screen.live.set(scene('pour').live);
    await seen.look();
    restoreTerminal(seen.terminal);
    const { written } = seen.terminal;
    expect(written.split('\x1b[?1049l')).toHaveLength(2);
    expect(cursorIsVisible(written)).toBe(true);
    restoreTerminal(seen.terminal);
    await seen.screen.close();
    expect(seen.terminal.written.split('\x1b[?1049l'), 'the main screen is returned to once').toHaveLength(2);
    await seen.terminal.seen();
    expect(seen.terminal.terminal.buffer.active.type).toBe('normal');
    expect(seen.terminal.terminal.modes.bracketedPasteMode).toBe(false);
  });

  it('never throws, not even on a terminal that is gone', () => {
    const gone = {
      write: () => {
        throw new Error('EIO');
      },
    };
    expect(() => restoreTerminal(gone)).not.toThrow();
  });
});

/** The cursor was shown after it was last hidden. */
function cursorIsVisible(written: string): boolean {
  return written.lastIndexOf('\x1b[?25h') > written.lastIndexOf('\x1b[?25l');
}

describe('bytes on the terminal', () => {
  it.each([
    ['a pour', GLUCOSIDE, 60, 0.6],
    ['the last grams', GLUCOSIDE, 155, 0.1],
    ['dye by the spoon tip', BLUE_DYE, 0.2, 0.01],
  ])('stay under 600 for a reading of %s at 80 x 24', async (_, draw, from, step) => {
    const seen = openSeen(scene('pour').view);
    seen.screen.live.set(drawLive(from, draw));
    await seen.look();
    const before = Buffer.byteLength(seen.terminal.written);
    for (let reading = 1; reading <= 60; reading++) {
      seen.screen.live.set(drawLive(from + reading * step, draw));
      seen.clock.move(100);
      await seen.screen.drawn();
    }
    const each = (Buffer.byteLength(seen.terminal.written) - before) / 60;
    expect(each).toBeLessThan(600);
    expect(each, 'something was drawn').toBeGreaterThan(100);
    await seen.screen.close();
  });

  it('are none for a reading that shows nothing new', async () => {
    const seen = openSeen(scene('pour').view);
    seen.screen.live.set(drawLive(60, GLUCOSIDE));
    await seen.look();
    const before = seen.terminal.written.length;
    seen.clock.move(100);
    seen.screen.live.set(drawLive(60, GLUCOSIDE));
    await seen.look();
    expect(seen.terminal.written.length - before).toBe(0);
    await seen.screen.close();
  });
});
