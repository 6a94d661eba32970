/** One batch, two benches: with two folders, two made-up benches, and one history on a real server whose cables break. */
import { mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, onTestFinished, test, vi } from 'vitest';
import { createMadeUpBench, type MadeUpBench } from '../../src/cli/demo/madeUpBench.ts';
import { work } from '../../src/cli/demo/maker.ts';
import { createPacedClock, type PacedClock } from '../../src/cli/demo/pacedClock.ts';
import { loadWorkshop } from '../../src/cli/folder.ts';
import { planFor } from '../../src/cli/planning.ts';
import { cost } from '../../src/cli/records/cost.ts';
import { readingAll } from '../../src/cli/shared/benchesAsked.ts';
import { handOver } from '../../src/cli/shared/handOver.ts';
import { handedOver, handOversAsked } from '../../src/cli/shared/handOversAsked.ts';
import { beginPart, confirmJoined, planJoining } from '../../src/cli/shared/join.ts';
import { watchBeside } from '../../src/cli/shared/otherBenches.ts';
import { anew, send, setup, state, withHistory } from '../../src/cli/shared/shared.ts';
import { startSharing } from '../../src/cli/shared/sharing.ts';
import { runWorkbench } from '../../src/cli/weigh/workbench.ts';
import { planned, stateOf } from '../../src/facts/apply.ts';
import type { Happened } from '../../src/facts/fact.ts';
import { findProfile } from '../../src/link/findProfile.ts';
import { type Mass, sumOf } from '../../src/mass/mass.ts';
import { backUp, restore } from '../../src/records/backup.ts';
import { type BatchLog, openLog } from '../../src/records/batchLog.ts';
import { LOG_FILE } from '../../src/records/logFile.ts';
import { batchRecord } from '../../src/records/record/batchRecord.ts';
import { benchId } from '../../src/records/shared/benchId.ts';
import { HistoryTrouble } from '../../src/records/shared/historyTrouble.ts';
import { keepStock } from '../../src/records/stockKeeper.ts';
import { verifyLog } from '../../src/records/verify.ts';
import type { Answer } from '../../src/weighing/events.ts';
import type { Station } from '../../src/weighing/station.ts';
import type { Workshop } from '../../src/workshop/model.ts';
import { demoText } from '../plan/fixtures.ts';
import { type Cut, layCable } from '../records/shared/cutCable.ts';
import { hasServer, type Server, startServer } from '../records/shared/postgresqlServer.ts';
import { IN_MEMORY, tempFolder } from '../records/tempFolder.ts';

const FORMULA = `
name: Blue jelly
version: 1
batch: 300 g
phases:
  - phase: A
    name: Base
    vessel: mixing-bowl
    work:
      - {draw: glycerin, share: 55 %, band: 2 %}
  - phase: B
    name: Colour
    vessel: liquids-beaker
    work:
      - {draw: water, share: 20 %, band: 2 %}
      - {draw: oat-protein, share: 9 %, band: 2 %}
      - {draw: lavender-oil, share: 1 %, band: 5 %, over: never}
  - phase: C
    name: Together
    vessel: mixing-bowl
    work:
      - combine: Pour the colour into the base.
        vessel: liquids-beaker
        into: mixing-bowl
      - {draw: sulfosuccinate, share: 15 %, band: 2 %}
`;
const WHOLE = '2026-11-25-1';
const BY = 'Mira Tolland';
const START = Date.parse('2026-11-25T09:00:00.000Z');

/** A scale that falls asleep meanwhile is a matter of other tests, and so are lots past their day. */
const workshopText = demoText.replace(/sleeps after: .*\n/g, '\n').replace(/expires: .*\n/g, '\n');

async function quietly(work: () => Promise<unknown>): Promise<string> {
  let said = '';
  const write = vi.spyOn(process.stdout, 'write').mockImplementation((chunk) => {
    said += String(chunk);
    return true;
  });
  onTestFinished(() => write.mockRestore());
  try {
    await work();
  } finally {
    write.mockRestore();
  }
  return said;
}

/** Until the cable holds for long enough. */
async function inTheEnd<T>(work: () => Promise<T>): Promise<T> {
  for (;;) {
    try {
      return await work();
    } catch (error) {
      if (!(error instanceof HistoryTrouble) || error.trouble !== 'away') throw error;
    }
  }
}

async function madeUp(workshop: Workshop, clock: PacedClock, seed: number): Promise<MadeUpBench> {
  const devices = new URL('../../devices', import.meta.url).pathname;
  const ids = [...new Set([...workshop.scales.values()].flatMap(({ profile }) => profile ?? []))];
  const profiles = await Promise.all(
    ids.map(async (id) => {
      const found = await findProfile(id, [devices]);
      if (!found.ok) throw new Error(id);
      return [id, found.profile] as const;
    }),
  );
  return createMadeUpBench({ workshop, profiles: new Map(profiles), clock, seed });
}

/** A maker at a made-up bench weighs a batch that is begun, its facts being sent meanwhile. */
async function atBench(folder: string, log: BatchLog, batch: string, clock: PacedClock, bench: MadeUpBench) {
  const workshop = loadWorkshop(folder);
  const { sharedHistory } = workshop;
  if (!sharedHistory) throw new Error('no shared history');
  const state = stateOf(log.facts(batch));
  const lines = new Set<string>();
  const others = watchBeside(() => benchId(folder), state, clock);
  others.tell((now) => now.forEach((line) => void lines.add(line)));
  const sharing = startSharing(sharedHistory, { folder, log, clock, alongside: others.look });
  await bench.start();
  const comesOver: (() => void)[] = [];
  const run = runWorkbench({
    batch: state,
    scales: bench.scales,
    log: keepStock(log, workshop),
    by: BY,
    clock,
    onFacts: (facts) => {
      if (facts.some(({ kind }) => kind === 'brought-in')) for (const each of comesOver) each();
    },
    openFront: ({ station: at, leave }) => ({
      changed: () => void (at.snapshot().status === 'done' && leave()),
      live() {},
      facts() {},
      async close() {},
    }),
    alongside: (at) => {
      const leave = others.at(at);
      let over = false;
      const mishaps = { extra: () => 0, during: async () => {}, stays: () => false, tell() {} };
      void work({ station: at, bench, clock, mishaps, isOver: () => over });
      return () => {
        over = true;
        leave();
      };
    },
  });
  return { run, sharing, lines, comesOver };
}

describe.skipIf(!hasServer)('two benches and one batch, with a postgresql server', () => {
  let server: Server;
  beforeAll(async () => {
    server = await startServer();
  }, 60_000);
  afterAll(() => server?.stop());

  /** A history of its own, and for each bench a folder that reaches it by a port, or by the server's socket. */
  async function shop(name: string, ports: Readonly<Record<string, number>> = {}) {
    await server.owner('postgres', `CREATE DATABASE ${name}`);
    await server.owner(name, await quietly(async () => setup(['wet_room', 'dye_room'])));
    return (role: string, text = workshopText, formula = FORMULA) => {
      const folder = tempFolder(IN_MEMORY);
      mkdirSync(join(folder, 'formulas'));
      const host = ports[role] === undefined ? encodeURIComponent(server.folder) : '127.0.0.1';
      const address = `postgres://${role}@${host}:${ports[role] ?? server.port}/${name}?sslmode=disable`;
      writeFileSync(join(folder, 'workshop.yaml'), `${text}\nshared history: ${address}\n`);
      writeFileSync(join(folder, 'formulas', 'jelly.yaml'), formula);
      return folder;
    };
  }

  const opened = (folder: string, now: () => Date = () => new Date(START)) => openLog(join(folder, LOG_FILE), { now });

  /** The batch is begun in the wet room, and its colour handed over. */
  async function begun(folder: string, phases = ['B']): Promise<void> {
    const log = opened(folder);
    const { plan } = planFor(folder, loadWorkshop(folder), 'jelly', {});
    await log.append(WHOLE, BY, [{ kind: 'batch-started', plan }, { kind: 'gathered' }]);
    log.close();
    await quietly(() => handOver(phases, { to: 'dye_room', in: folder }));
  }

  const say = async (folder: string, batch: string, ...happened: Happened[]) => {
    const log = opened(folder);
    await log.append(batch, BY, happened);
    log.close();
    await quietly(() => send(folder));
  };

  const join_ = async (folder: string) => {
    const log = opened(folder);
    try {
      return await beginPart(log, folder, await planJoining(folder, loadWorkshop(folder)), BY);
    } finally {
      log.close();
    }
  };

  test('however the cables break, each draw is in the batch once, as it was weighed', async () => {
    const cables = { wet_room: await layCable(server.socket), dye_room: await layCable(server.socket) };
    const folderOf = await shop('jelly', { wet_room: cables.wet_room.port, dye_room: cables.dye_room.port });
    const [wet, dye] = [folderOf('wet_room'), folderOf('dye_room', workshopText.replace('d: 0.1 g', 'd: 0.2 g'))];
    const cut: fc.Arbitrary<Cut> = fc.record({
      sentBy: fc.constantFrom('bench' as const, 'server' as const),
      since: fc.constant('connecting' as const),
      bytes: fc.integer({ min: 0, max: 12_000 }),
    });
    const cuts = fc.sample(cut, 24);
    for (const cable of Object.values(cables)) cable.cutAfter(() => cuts.shift());

    await begun(wet);
    await inTheEnd(() => quietly(() => send(wet)));
    const clock = createPacedClock();
    const now = () => new Date(START + clock.now());
    const [wetLog, dyeLog] = [opened(wet, now), opened(dye, now)];
    const joining = await inTheEnd(() => planJoining(dye, loadWorkshop(dye)));
    // Whatever breaks in the middle of it: the part is begun once, and made sure of later.
    const [first] = await beginPart(dyeLog, dye, joining, BY).catch(() => dyeLog.facts());
    const part = first?.batch ?? '';
    await inTheEnd(() => confirmJoined(dyeLog, dye, stateOf(dyeLog.facts(part)), BY));

    const [wetBench, dyeBench] = [
      await madeUp(loadWorkshop(wet), clock, 3),
      await madeUp(loadWorkshop(dye), clock, 11),
    ];
    const wetRoom = await atBench(wet, wetLog, WHOLE, clock, wetBench);
    const dyeRoom = await atBench(dye, dyeLog, part, clock, dyeBench);
    // The beaker is carried over.
    wetRoom.comesOver.push(() => {
      const [from, to] = [dyeBench.world.vessel('liquids-beaker'), wetBench.world.vessel('liquids-beaker')];
      for (const [lot, amount] of from.contents) to.contents.set(lot, amount);
      from.contents.clear();
    });
    const ends = await clock.run(Promise.all([wetRoom.run, dyeRoom.run]), Number.POSITIVE_INFINITY);
    expect(ends.map(({ ended }) => ended)).toEqual(['finished', 'finished']);
    for (const cable of Object.values(cables)) cable.cutAfter(() => undefined);
    await clock.run(Promise.all([wetRoom.sharing.stop(), dyeRoom.sharing.stop()]), Number.POSITIVE_INFINITY);
    await Promise.all([wetBench.stop(), dyeBench.stop()]);
    await quietly(async () => {
      await inTheEnd(() => send(wet));
      await inTheEnd(() => send(dye));
    });

    // What was weighed, by the logs of those who weighed it.
    const weighedIn = (log: BatchLog, batch: string) =>
      log.facts(batch).filter((fact) => fact.kind === 'weighed') as { draw: string; net: Mass; scale: string }[];
    const mine = weighedIn(wetLog, WHOLE);
    const theirs = weighedIn(dyeLog, part);
    expect([mine, theirs].map((of) => of.map(({ draw }) => draw))).toEqual([
      ['A1', 'C1'],
      ['B1', 'B2', 'B3'],
    ]);
    const nets = [...mine, ...theirs.map((each) => ({ ...each, scale: `dye_room/${each.scale}` }))];
    const record = batchRecord(wetLog.facts(WHOLE), wetLog.seal(WHOLE));
    const rows = record.draws.map(({ draw, net, scale }) => ({ draw, net, scale }));
    expect(rows.sort(byDraw)).toEqual(nets.map(({ draw, net, scale }) => ({ draw, net, scale })).sort(byDraw));
    const all = sumOf(nets.map(({ net }) => net));
    expect(record.totals.net).toBe(all);
    // The beaker was weighed as it came over, and weighed right.
    expect(record.sums).toContainEqual(expect.objectContaining({ step: 'B/over-1', scale: 'bench', reason: null }));
    // What is truly in the bowl is what the record says, within the uncertainty of all that was weighed.
    const bowl = sumOf([...wetBench.world.vessel('mixing-bowl').contents.values()]);
    const sure = Math.hypot(...record.draws.map(({ uncertainty }) => uncertainty), 300_000);
    expect(Math.abs(bowl - (record.totals.bowl - record.totals.stuck))).toBeLessThan(2 * sure);
    // Asked across the benches, stock and trace count each draw once.
    await readingAll(wet, async (across) => {
      expect(across.factsOfAll().length).toBe(wetLog.rows(0, 9999).length + dyeLog.rows(0, 9999).length);
      expect(sumOf(across.stock((stock) => stock.all().map(({ holding }) => holding.used)))).toBe(all);
      const uses = across.traced((look) => look.usesOfBatch(`wet_room/${WHOLE}`));
      expect(uses.map(({ draw, taken, fate }) => ({ draw, taken, fate })).sort(byDraw)).toEqual(
        nets.map(({ draw, net }) => ({ draw, taken: net, fate: 'in' })).sort(byDraw),
      );
      expect(across.traced((look) => look.usesOfBatch(`dye_room/${part}`))).toEqual([]);
    });
    expect([...wetRoom.lines].join('\n')).toMatch(/dye_room, phase B: \d of 3 weighed, last /);
    wetLog.close();
    dyeLog.close();
    for (const folder of [wet, dye]) expect(verifyLog(join(folder, LOG_FILE))).toMatchObject({ ok: true, damages: [] });
    expect(cables.wet_room.cuts + cables.dye_room.cuts).toBeGreaterThan(2);
    for (const cable of Object.values(cables)) await cable.close();
  }, 120_000);

  /** What a bench is told of the other, about its batch as it stands. */
  const told = async (folder: string, batch: string) => {
    const log = opened(folder);
    const beside = watchBeside(() => benchId(folder), stateOf(log.facts(batch)), createPacedClock());
    log.close();
    await withHistory(folder, beside.look);
    return beside.lines();
  };

  /** What a bench that weighs is answered, when it hears twice how the other one stands. */
  const stoppedAt = async (folder: string, batch: string) => {
    const log = opened(folder);
    const state = stateOf(log.facts(batch));
    log.close();
    const [clock, answers] = [createPacedClock(), [] as string[]];
    const beside = watchBeside(() => benchId(folder), state, { ...clock, now: () => 1e6 * (answers.length + 1) });
    const snapshot = () => ({
      context: { batch: state },
      matches: (at: string) => at === (answers.length > 0 ? 'paused' : 'placing'),
      can: () => true,
    });
    beside.at({ snapshot, answer: ({ type }: Answer) => answers.push(type) } as unknown as Station);
    for (let look = 0; look < 2; look++) await withHistory(folder, beside.look);
    return { gone: beside.others().gone, answers };
  };

  test('a bench weighs what was handed to it, once, by the same formula, and nothing else', async () => {
    const folderOf = await shop('rules');
    const [wet, dye] = [folderOf('wet_room'), folderOf('dye_room')];
    await expect(planJoining(dye, loadWorkshop(dye))).rejects.toThrow(
      /No bench has handed anything to this one \(dye_room\)/,
    );
    await begun(wet);
    expect(await told(wet, WHOLE)).toEqual(['dye_room, phase B: not begun yet.']);
    const across = await quietly(() => cost(`wet_room/${WHOLE}`, { in: dye, allBenches: true, json: true }));
    expect(JSON.parse(across)).toMatchObject({ of: `Batch wet_room/${WHOLE}, Blue jelly, open` });
    await expect(planJoining(wet, loadWorkshop(wet))).rejects.toThrow(/No bench has handed anything/);
    await expect(planJoining(dye, loadWorkshop(dye), `wet_room/${WHOLE}`, 'A')).rejects.toThrow(
      /Nothing of wet_room\/2026-11-25-1 is handed to this bench \(dye_room\) with phase A\. There is:\n.*--phase B/,
    );
    await expect(planJoining(dye, loadWorkshop(dye), undefined, 'A')).rejects.toThrow(
      /No bench has handed phase A to this/,
    );
    expect(await quietly(async () => handOver([], { in: wet }))).toMatch(/to dye_room: not back yet/);
    const other = folderOf('dye_room', workshopText, FORMULA.replace('version: 1', 'version: 2'));
    await expect(planJoining(other, loadWorkshop(other))).rejects.toThrow(/version 2 here(.|\n)*begun by\s+version 1/);
    expect(() => anew(wet)).toThrow(/has phase B at dye_room: bring it in, or take it back first/);
    const facts = await join_(dye);
    expect(() => anew(dye)).toThrow(/is part of a batch of wet_room: end it first/);
    expect(facts.map(({ kind }) => kind)).toEqual(['batch-started', 'joined', 'scales-stand', 'join-confirmed']);
    const part = facts[0]?.batch ?? '';
    await expect(join_(dye)).rejects.toThrow(new RegExp(`joined here already, as batch ${part}.*resume ${part}`));
    await quietly(() => send(dye));
    expect(await told(wet, WHOLE)).toEqual(['dye_room, phase B: 0 of 3 weighed.']);
    expect(await told(dye, part)).toEqual([`wet_room/${WHOLE}: 0 of 2 weighed.`]);
    // Another folder with the same role is another bench.
    await expect(join_(folderOf('dye_room'))).rejects.toThrow(/weighed by another bench of the role dye_room already/);
    // Begun there, it is not taken back; given up there, it is.
    const back = () => quietly(() => handOver(['B'], { back: true, in: wet }));
    await expect(back()).rejects.toThrow(
      new RegExp(`dye_room has begun it \\(its batch ${part}, open\\): it stays there`),
    );
    await say(dye, part, { kind: 'abandoned', reason: 'ended by the maker' });
    expect(await told(wet, WHOLE)).toEqual([
      'dye_room, phase B: given up there. Leave with q; bismar hand-over B --back.',
    ]);
    expect(await back()).toMatch(/phase B, Colour is back: dye_room has weighed nothing of it/);
    await expect(join_(dye)).rejects.toThrow(/No bench has handed anything/);
    // Handed over again, it is another hand-over; lost, it is taken back without asking.
    await quietly(() => handOver(['B'], { to: 'dye_room', in: wet }));
    const [second] = await join_(dye);
    const said = await quietly(() => handOver(['B'], { lost: 'their beaker broke', in: wet }));
    expect(await told(dye, second?.batch ?? '')).toEqual([
      `wet_room has taken this back: what is weighed here does not get into wet_room/${WHOLE}.`,
    ]);
    expect(said).toMatch(/must not get into this batch: mark its vessel/);
    expect(await stoppedAt(dye, second?.batch ?? '')).toEqual({ gone: 'taken-back', answers: ['answer.stop'] });
    expect(await quietly(() => handOver([], { in: wet }))).toMatch(
      /phase B, Colour to dye_room: taken back\n.*taken back/,
    );
  });

  test('phases can be handed over as the batch is begun', async () => {
    const folderOf = await shop('asked');
    const wet = folderOf('wet_room');
    expect(handOversAsked(undefined, wet)).toEqual([]);
    const asked = handOversAsked(['B,B=dye_room'], wet);
    const { plan } = planFor(wet, loadWorkshop(wet), 'jelly', {});
    expect(handedOver(planned(WHOLE, plan), asked)).toEqual([
      { kind: 'handed-over', number: 1, phases: ['B'], to: 'dye_room' },
    ]);
    const twice = handOversAsked(['B=dye_room', 'A,B=mix_room'], wet);
    expect(() => handedOver(planned(WHOLE, plan), twice)).toThrow('Phase B is at dye_room already. Nothing was begun.');
    for (const wrong of ['B', 'B=', '=dye_room', 'B=wet_room', 'B=a=b', 'B=Dye Room']) {
      expect(() => handOversAsked([wrong], wet), wrong).toThrow(/--hand-over wants phases and another bench/);
    }
  });

  test('stopped before a word of it was sent: nothing is begun twice, and it is said what stands', async () => {
    const folderOf = await shop('stopped');
    const [wet, dye] = [folderOf('wet_room'), folderOf('dye_room')];
    await begun(wet);
    const log = opened(dye);
    const joining = await planJoining(dye, loadWorkshop(dye));
    const append = log.append.bind(log);
    const killed = vi.spyOn(log, 'append').mockImplementationOnce(async (...of) => {
      await append(...of);
      throw new Error('killed');
    });
    await expect(beginPart(log, dye, joining, BY)).rejects.toThrow('killed');
    killed.mockRestore();
    const [part] = log.batches();
    await expect(beginPart(log, dye, joining, BY)).rejects.toThrow(
      new RegExp(`joined here already, as batch ${part?.id}: .*resume ${part?.id}`),
    );
    expect(log.batches()).toHaveLength(1);
    // A log of before that has it twice: only one of them is weighed.
    const facts = log.facts(part?.id);
    const [started, joined] = [facts[0], facts[1]];
    if (started?.kind !== 'batch-started' || joined?.kind !== 'joined')
      throw new Error('the part begins otherwise now');
    const { bench, role, of, number, seal } = joined;
    const twin = [
      { kind: 'batch-started', plan: started.plan },
      { kind: 'joined', bench, role, of, number, seal },
    ] as const;
    await log.append('2026-11-25-9', BY, twin);
    await expect(confirmJoined(log, dye, stateOf(log.facts('2026-11-25-9')), BY)).rejects.toThrow(
      /joined here already/,
    );
    expect(await confirmJoined(log, dye, stateOf(facts), BY)).toMatchObject([{ kind: 'join-confirmed' }]);
    expect(log.batches().map(({ status }) => status)).toEqual(['open', 'abandoned']);
    await log.append(part?.id ?? '', BY, [{ kind: 'abandoned', reason: 'ended by the maker' }]);
    log.close();
    await quietly(() => send(dye));
    // Wanted back while the server is away: that is noted, and told.
    const file = join(wet, 'workshop.yaml');
    const text = readFileSync(file, 'utf8');
    writeFileSync(
      file,
      text.replace(/shared history: .*/, 'shared history: postgres://wet_room@127.0.0.1:1/x?sslmode=disable'),
    );
    await expect(quietly(() => handOver(['B'], { back: true, in: wet }))).rejects.toThrow(
      /No connection(.*)It is noted that phase B, Colour is wanted back; until .* it stays there\. .*hand-over B --back/,
    );
    writeFileSync(file, text);
    await quietly(() => send(wet));
    expect(await told(wet, WHOLE)).toEqual([
      'dye_room, phase B: given up there. Leave with q; bismar hand-over B --back.',
    ]);
    await expect(join_(folderOf('dye_room'))).rejects.toThrow(/is wanted back by wet_room/);
    expect(await quietly(() => state(dye))).toMatch(/wanted back by wet_room/);
    expect(await quietly(() => handOver(['B'], { back: true, in: wet }))).toMatch(/is back/);
  });

  test('who joins and who calls back at the same moment: never both have it', async () => {
    const folderOf = await shop('moments');
    const [wet, dye] = [folderOf('wet_room'), folderOf('dye_room')];
    await begun(wet);
    // The dye room has read that it may join; then the wet room wants it back, and has it.
    const early = await planJoining(dye, loadWorkshop(dye));
    await quietly(() => handOver(['B'], { back: true, in: wet }));
    const log = opened(dye);
    await expect(beginPart(log, dye, early, BY)).rejects.toThrow(/taken back by wet_room\. Nothing was weighed here/);
    expect(log.batches()).toMatchObject([{ status: 'abandoned' }]);
    // The wish alone has arrived, when the joining does: then the dye room steps back, and the wet room has it.
    await quietly(() => handOver(['B'], { to: 'dye_room', in: wet }));
    const late = await planJoining(dye, loadWorkshop(dye));
    await say(wet, WHOLE, { kind: 'calling-back', number: 2 });
    await expect(beginPart(log, dye, late, BY)).rejects.toThrow(/is wanted back by wet_room/);
    await quietly(() => handOver(['B'], { back: true, in: wet }));
    // The joining has arrived before the wish: the wet room is told so.
    await quietly(() => handOver(['B'], { to: 'dye_room', in: wet }));
    await beginPart(log, dye, await planJoining(dye, loadWorkshop(dye)), BY);
    log.close();
    await expect(quietly(() => handOver(['B'], { back: true, in: wet }))).rejects.toThrow(/dye_room has begun it/);
    // A folder that is put back from its backup is the same bench; one without its id knows that it is not.
    const again = join(tempFolder(IN_MEMORY), 'again');
    const kept = join(tempFolder(IN_MEMORY), 'kept.backup');
    expect(backUp(wet, kept).files).not.toContain('bench.id');
    restore(kept, again);
    expect(benchId(again)).toBe(benchId(wet));
    await expect(quietly(() => handOver(['B'], { back: true, in: again }))).rejects.toThrow(/dye_room has begun it/);
    rmSync(join(again, 'bench.id'));
    await expect(quietly(() => handOver(['B'], { back: true, in: again }))).rejects.toThrow(
      /was begun by this folder as another bench.*--lost/,
    );
  });
});

const byDraw = (a: { draw: string }, b: { draw: string }): number => (a.draw < b.draw ? -1 : 1);
