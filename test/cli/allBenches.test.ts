/** What is asked across benches: two workshops with logs of their own, one shared history on a real server. */
import { copyFileSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { log as logCommand, record } from '../../src/cli/records/records.ts';
import { trace } from '../../src/cli/records/trace.ts';
import { anew, send, setup, state } from '../../src/cli/shared/shared.ts';
import { receive } from '../../src/cli/stock/lot.ts';
import { stock } from '../../src/cli/stock/stock.ts';
import type { Happened } from '../../src/facts/fact.ts';
import { openLog } from '../../src/records/batchLog.ts';
import { LOG_FILE } from '../../src/records/logFile.ts';
import { takeWritingRight } from '../../src/records/oneWriter.ts';
import { verifyLog } from '../../src/records/verify.ts';
import { hasServer, type Server, startServer } from '../records/shared/postgresqlServer.ts';
import { IN_MEMORY, tempFolder } from '../records/tempFolder.ts';
import { aDraw, aPlan, g, weighing } from '../weighing/samplePlan.ts';
import { printed } from './printed.ts';

const workshopText = `
name: Small
operators: [Someone]
scales: {bench: {capacity: 5 kg, d: 0.1 g, repeatability: 0.05 g, keyed: yes}}
vessels: {bowl: {name: Bowl, tare: 300 g, usable: 4 l}}
ingredients:
  water: {name: Water, inci: Aqua, lots: {W-1: {on hand: 900 g}}}
  dye: {name: Red dye, inci: Dye, lots: {D-1: {on hand: 90 g}}}
  oil: {name: Oil, inci: Oil, lots: {O-1: {on hand: 500 g}}}
  stock: {name: Red dye stock, inci: "Aqua, Dye"}
`;

describe.skipIf(!hasServer)('across benches, with a postgresql server', () => {
  let server: Server;
  beforeAll(async () => {
    server = await startServer();
  }, 60_000);
  afterAll(() => server?.stop());

  /** An empty history for two benches. */
  async function history(name: string): Promise<(role: string) => string> {
    await server.owner('postgres', `CREATE DATABASE ${name}`);
    await server.owner(name, await printed(() => setup(['wet_room', 'dye_room'])));
    return (role) => {
      const folder = tempFolder(IN_MEMORY);
      mkdirSync(join(folder, 'formulas'));
      const address = `postgres://${role}@${encodeURIComponent(server.folder)}:${server.port}/${name}`;
      writeFileSync(join(folder, 'workshop.yaml'), `${workshopText}shared history: ${address}\n`);
      return folder;
    };
  }

  async function write(folder: string, at: string, batch: string, happened: readonly Happened[]): Promise<void> {
    const log = openLog(join(folder, LOG_FILE), { now: () => new Date(at) });
    await log.append(batch, 'Someone', happened);
    log.close();
  }

  const stocked = { ingredient: 'stock', name: 'Red dye stock', lot: '2026-11-25-1' };
  const [A1, A2] = [
    aDraw('A1', { ingredient: 'dye', name: 'Red dye', lot: 'D-1' }),
    aDraw('A2', { ingredient: 'water', name: 'Water', lot: 'W-1' }),
  ];
  const [B1, B2] = [aDraw('A1', stocked), aDraw('A2', { ingredient: 'oil', name: 'Oil', lot: 'O-1' })];
  const formula = { id: 'stock', name: 'Red dye, stock of 10 %', version: '1' };

  /** The dye room makes a stock; the wet room enters it and weighs with it. Their batches have the same id. */
  async function twoBenches(name: string) {
    const folderFor = await history(name);
    const [dye, wet] = [folderFor('dye_room'), folderFor('wet_room')];
    await write(dye, '2026-11-25T09:00:00Z', '2026-11-25-1', [
      { kind: 'batch-started', plan: aPlan([A1, A2], { formula }) },
      weighing(A1, g(300), g(10)),
      weighing(A2, g(310), g(90)),
      { kind: 'finished' },
    ]);
    // By the name of its batch, at both benches: only the dye room's own log tells that it was made there.
    for (const folder of [dye, wet]) await printed(() => receive('stock', '2026-11-25-1', '100g', { in: folder }));
    await write(wet, '2026-11-25T11:00:00Z', '2026-11-25-1', [
      { kind: 'batch-started', plan: aPlan([B1, B2]) },
      weighing(B1, g(300), g(20)),
      weighing(B2, g(320), g(60)),
      { kind: 'finished' },
    ]);
    for (const folder of [dye, wet]) await printed(() => send(folder));
    return { dye, wet };
  }

  test('stock, trace, record and log answer for both, each batch by its bench', async () => {
    const { dye, wet } = await twoBenches('one');
    const all = (folder: string) => ({ in: folder, allBenches: true });
    // The water was used in the dye room, the oil in the wet room: either asks for both.
    for (const folder of [dye, wet]) {
      const told = await printed(() => stock(undefined, all(folder)));
      expect(told).toMatch(/Water\n {2}W-1 +810\.0 g/);
      expect(told).toMatch(/Oil\n {2}O-1 +440\.0 g/);
    }
    // The dye went into the wet room's batch through the dye room's stock.
    const traced = JSON.parse(await printed(() => trace('D-1', { ...all(wet), json: true })));
    expect(JSON.stringify(traced)).toContain('wet_room/2026-11-25-1');
    expect(JSON.stringify(traced)).toContain('dye_room/2026-11-25-1');
    expect(await printed(() => trace('D-1', all(wet)))).toContain('wet_room/2026-11-25-1');
    // A record is the bench's own, word for word but for the batch's name; its seal is that of the bench's own log.
    const own = JSON.parse(await printed(() => record('2026-11-25-1', { in: wet, json: true })));
    const asked = JSON.parse(await printed(() => record('wet_room/2026-11-25-1', { ...all(dye), json: true })));
    expect(asked).toEqual({ ...own, batch: 'wet_room/2026-11-25-1' });
    await expect(record('2026-11-25-1', all(dye))).rejects.toThrow(
      /2 batches of the benches.*dye_room\/2026-11-25-1, wet_room\/2026-11-25-1/,
    );
    const lines = (await printed(() => logCommand(undefined, { ...all(dye), all: true, json: true })))
      .trimEnd()
      .split('\n');
    const told = lines.map((line) => JSON.parse(line));
    expect(told.map(({ bench, seq }) => `${bench} ${seq}`).sort()).toEqual(
      [...[1, 2, 3, 4, 5].map((seq) => `dye_room ${seq}`), ...[1, 2, 3, 4, 5].map((seq) => `wet_room ${seq}`)].sort(),
    );
    expect(await printed(() => logCommand('dye_room/2026-11-25-1', all(wet)))).toMatch(/^dye_room {2}.*\n/);
  });

  test('what a bench has not sent yet is in its own answer all the same; state tells how much that is', async () => {
    const { dye, wet } = await twoBenches('two');
    await write(wet, '2026-11-25T12:00:00Z', '2026-11-25-2', [
      { kind: 'batch-started', plan: aPlan([B2]) },
      weighing(B2, g(300), g(60)),
    ]);
    expect(await printed(() => stock('oil', { in: wet, allBenches: true }))).toContain('380.0 g');
    expect(await printed(() => stock('oil', { in: dye, allBenches: true }))).toContain('440.0 g');
    expect(await printed(() => state(wet))).toMatch(/^This bench is wet_room;.*\n2 facts not sent yet: .*shared send/);
    expect(await printed(() => send(wet))).toBe('Sent 2 facts: the shared history has all 7 facts of this bench.\n');
    expect(await printed(() => send(wet))).toMatch(/^Nothing was left to send/);
    expect(await printed(() => state(wet))).toMatch(
      /arrived\.\n {2}dye_room +5 facts, since .*\n {2}wet_room +7 facts, .*\(this bench\)/,
    );
  });

  test('a copied folder that was made a bench of its own counts what it shares with the other once', async () => {
    const { dye, wet } = await twoBenches('three');
    const copy = tempFolder(IN_MEMORY);
    for (const file of ['workshop.yaml', LOG_FILE, 'bench.id']) copyFileSync(join(wet, file), join(copy, file));
    await write(wet, '2026-11-25T12:00:00Z', '2026-11-25-1', [
      { kind: 'corrected', corrects: 4, note: 'it was 61 g', reason: 'read off again' },
    ]);
    await printed(() => send(wet));
    await write(copy, '2026-11-25T13:00:00Z', '2026-11-25-2', [
      { kind: 'batch-started', plan: aPlan([B2]) },
      weighing(B2, g(300), g(60)),
    ]);
    await expect(send(copy)).rejects.toThrow(/two histories|another fact|has other|shared anew/);
    const before = readFileSync(join(copy, 'bench.id'), 'utf8');
    const right = takeWritingRight(copy);
    expect(() => anew(copy)).toThrow(/already open in another bismar/);
    right.release();
    await printed(() => anew(copy));
    expect(readFileSync(join(copy, 'bench.id'), 'utf8')).not.toBe(before);
    await printed(() => send(copy));
    // 500 g, less 60 g of the batch before the copy (once) and 60 g of the copy's own.
    expect(await printed(() => stock('oil', { in: dye, allBenches: true }))).toContain('380.0 g');
    const told = await printed(() => logCommand('wet_room-2/2026-11-25-2', { in: dye, allBenches: true }));
    expect(told.trimEnd().split('\n')).toHaveLength(2);
    // The correction names the fact that it corrects, wherever that stands among those of all benches.
    const corrected = JSON.parse(
      await printed(() => record('wet_room/2026-11-25-1', { in: dye, allBenches: true, json: true })),
    );
    const own = JSON.parse(await printed(() => record('2026-11-25-1', { in: wet, json: true })));
    expect(corrected).toEqual({ ...own, batch: 'wet_room/2026-11-25-1' });
    expect(verifyLog(join(copy, LOG_FILE)).ok).toBe(true);
  });

  test('a bench whose facts do not hold spoils nothing but its own', async () => {
    const { dye, wet } = await twoBenches('four');
    // The database's own administrator is the only one who can do this.
    await server.owner('four', 'ALTER TABLE bismar.facts DISABLE TRIGGER ALL');
    await server.owner(
      'four',
      `UPDATE bismar.facts f SET body = replace(body, '60000000', '50000000')
      FROM bismar.benches b WHERE b.bench = f.bench AND b.role = 'wet_room' AND f.seq = 4`,
    );
    let told = '';
    const said = await printed(async () => {
      told = await printed(() => stock(undefined, { in: dye, allBenches: true }));
    }, process.stderr);
    expect(said).toMatch(
      /^Fact 4 of the bench wet_room in the shared history can't be used \(the hash does not match.*left out here/,
    );
    expect(told).toMatch(/Water\n {2}W-1 +810\.0 g/);
    expect(told).toMatch(/Oil\n {2}O-1 +500\.0 g/);
    expect(verifyLog(join(wet, LOG_FILE)).ok).toBe(true);
  });

  test('without a shared history, or with one that is away, a sentence says so', async () => {
    const folder = tempFolder();
    writeFileSync(join(folder, 'workshop.yaml'), workshopText);
    await expect(stock(undefined, { in: folder, allBenches: true })).rejects.toThrow(
      /has no shared history: workshop\.yaml would name it/,
    );
    writeFileSync(
      join(folder, 'workshop.yaml'),
      `${workshopText}shared history: postgres://wet_room@%2Fnowhere/shop\n`,
    );
    const asked = () => printed(() => state(folder));
    await expect(asked()).rejects.toThrow(/^No connection to the shared history \(.*\)\. All weights are safe/);
  });
});
