/** Sending beside the weighing, in virtual time, to a history that comes and goes. */
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { openLog, type Seal } from '../../../src/records/batchLog.ts';
import { HistoryTrouble } from '../../../src/records/shared/historyTrouble.ts';
import { keepSending, type SendingState } from '../../../src/records/shared/keepSending.ts';
import { ALL_SENT, sendingLine } from '../../../src/records/shared/sendingWords.ts';
import type { LogRow, SharedHistory } from '../../../src/records/shared/sharedHistory.ts';
import { stamp } from '../../../src/records/stamp.ts';
import { createFakeClock } from '../../fakeClock.ts';
import { sampleHappened } from '../sampleFacts.ts';
import { IN_MEMORY, tempFolder } from '../tempFolder.ts';

const BENCH = '11111111-2222-4333-8444-555555555555';
const START = new Date('2026-11-25T09:00:00.000Z');

async function rig() {
  const log = openLog(join(tempFolder(IN_MEMORY), 'batches.db'));
  await log.append('2026-11-25-1', 'Mara', sampleHappened());
  const clock = createFakeClock();
  const rows: LogRow[] = [];
  const server = { fault: undefined as HistoryTrouble | undefined, hangs: false, tries: [] as number[] };
  const may = async () => {
    if (server.fault) throw server.fault;
  };
  const history: SharedHistory = {
    enter: may,
    head: async (): Promise<Seal | null> => {
      const last = rows.at(-1);
      return last ? { seq: last.seq, hash: last.hash } : null;
    },
    async append(_, sent) {
      await may();
      rows.push(...sent);
    },
    benches: async () => [],
    facts: async () => [],
    placeOf: async () => null,
    ofKind: async () => [],
    close: async () => {},
  };
  const lines: (string | undefined)[] = [];
  const states: SendingState[] = [];
  const sending = keepSending({
    log,
    bench: () => BENCH,
    clock,
    now: () => new Date(START.getTime() + clock.now()),
    connect: async (signal) => {
      server.tries.push(clock.now());
      if (server.hangs) await new Promise((_, reject) => signal.addEventListener('abort', () => reject(signal.reason)));
      await may();
      return history;
    },
    onChange(state) {
      states.push(state);
      lines.push(sendingLine(state));
    },
  });
  const more = () => log.append('2026-11-25-1', 'Mara', [{ kind: 'resumed' }]);
  return { log, clock, rows, server, sending, lines, states, more, all: () => log.rows(0, 1000) };
}

const away = () => new HistoryTrouble('away', 'No connection.');

test('all that is in the log is sent, and what comes later soon after; nothing is said', async () => {
  const { clock, rows, sending, lines, more, all } = await rig();
  await clock.advance(600);
  expect(rows).toEqual(all());
  await more();
  await clock.advance(600);
  expect(rows).toEqual(all());
  expect(sending.state()).toEqual({ waiting: 0, trouble: null });
  expect(lines).toEqual([]);
});

test('a server that is away is told with the time, tried again ever more rarely, and told again when all has arrived', async () => {
  const { clock, rows, server, sending, lines, more, all } = await rig();
  await clock.advance(600);
  server.fault = away();
  await more();
  await more();
  await clock.advance(180_000);
  const waits = server.tries.slice(1).map((at, index, tries) => at - (tries[index - 1] ?? at));
  expect(waits.slice(1, 7)).toEqual([2000, 4000, 8000, 16_000, 32_000, 60_000]);
  // Since it was found to be gone for good: at the second try, a second and a look after the first fact.
  const since = sending.state().trouble?.since ?? START;
  expect(lines.at(-1)).toBe(
    `2 facts are not sent yet: no connection to the shared history since ${stamp(since).slice(11, 16)}.`,
  );
  server.fault = undefined;
  await clock.advance(60_000);
  expect(rows).toEqual(all());
  expect(lines.at(-1)).toBeUndefined();
  expect(ALL_SENT).toMatch(/again/);
});

test('one break that is mended at once is not worth a word', async () => {
  const { clock, rows, server, lines, more, all } = await rig();
  await clock.advance(600);
  server.fault = away();
  await more();
  await clock.advance(600);
  server.fault = undefined;
  await clock.advance(2000);
  expect(rows).toEqual(all());
  expect(lines).toEqual([]);
});

test('what only a person can mend is told once and not tried again', async () => {
  const { clock, server, sending, lines } = await rig();
  server.fault = new HistoryTrouble('refused', 'Two benches.');
  await clock.advance(600_000);
  expect(server.tries).toHaveLength(1);
  expect(lines).toEqual(['Facts are not sent yet: the shared history has others of this bench (`shared state`).']);
  expect(clock.waiting).toBe(0);
  await sending.stop();
});

test('whoever leaves waits for a server that does not answer no longer than agreed', async () => {
  const { clock, server, sending } = await rig();
  server.hangs = true;
  await clock.advance(600);
  let stopped = false;
  const stop = sending.stop(2000).then(() => {
    stopped = true;
  });
  await clock.advance(1900);
  expect(stopped).toBe(false);
  await clock.advance(200);
  await stop;
  await sending.stop(2000); // twice does nothing
  expect(clock.waiting).toBe(0);
  expect(sending.state().waiting).toBeNull();
});

test('whoever leaves with a server at hand leaves nothing behind', async () => {
  const { clock, rows, sending, more, all } = await rig();
  await clock.advance(600);
  await more();
  await sending.stop(2000);
  expect(rows).toEqual(all());
  expect(sending.state()).toEqual({ waiting: 0, trouble: null });
});

test('a damaged fact is not sent, nor anything after it', async () => {
  const { log, clock, rows, lines, sending } = await rig();
  const own = log.rows.bind(log);
  log.rows = (after, most) => own(after, most).map((row) => (row.seq === 7 ? { ...row, body: `${row.body} ` } : row));
  await clock.advance(600_000);
  expect(rows).toEqual([]);
  expect(lines).toHaveLength(1);
  expect(lines[0]).toMatch(/can't be read/);
  await sending.stop();
});
