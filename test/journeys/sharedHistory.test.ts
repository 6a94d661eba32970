/** The built program weighs while its shared history is away, tells so, and has sent all once it is back. */
import { appendFileSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { setupSql } from '../../src/records/shared/schema.ts';
import { layCable } from '../records/shared/cutCable.ts';
import { hasServer, startServer } from '../records/shared/postgresqlServer.ts';
import { LinedProgram } from './linedProgram.ts';
import { run } from './run.ts';
import { until } from './until.ts';

test.skipIf(!hasServer)(
  'facts go to a postgresql server beside the weighing, and wait for it while it is away',
  async () => {
    const server = await startServer();
    onTestFinished(() => server.stop());
    await server.owner('postgres', 'CREATE DATABASE shop');
    await server.owner('shop', setupSql(['wet_room']));
    const cable = await layCable(server.socket);
    onTestFinished(() => cable.close());
    const around = mkdtempSync(join(tmpdir(), 'bismar-journey-'));
    onTestFinished(() => rmSync(around, { recursive: true, force: true }));
    const folder = join(around, 'workshop');
    await run(['init', '--yes', folder]);
    appendFileSync(
      join(folder, 'workshop.yaml'),
      `\nshared history: postgres://wet_room@127.0.0.1:${cable.port}/shop\n`,
    );
    const arrived = async () =>
      (await server.owner('shop', 'SELECT batch, seq::int, kind FROM bismar.facts ORDER BY seq')).length;

    cable.breakOff();
    const program = new LinedProgram(['weigh', '--plain', '--in', folder]);
    onTestFinished(() => program.kill());
    const says = (what: RegExp) =>
      until(`a line like ${what}`, () => program.all.some((line) => what.test(line)), {
        seen: () => program.all.join('\n'),
      });
    await says(/GATHER/);
    program.press('enter');
    await says(/PUT ON/);
    await says(/^! Facts are not sent yet: no connection to the shared history since \d\d:\d\d\.$/);
    expect(await arrived()).toBe(0);
    cable.mend();
    await says(/^! All facts are in the shared history again\.$/);
    // What is written in the last moment goes along.
    program.press('x');
    await says(/\[e\] end the batch for good/);
    program.press('e');
    await says(/END IT\?/);
    program.press('enter');
    expect((await program.exited).code).toBe(0);
    const own = (await run(['log', '--all', '--json', '--in', folder])).out.trimEnd().split('\n').length;
    expect(await arrived()).toBe(own);

    // Away again, the record of all benches can't be had; the bench's own can.
    cable.breakOff();
    expect(await run(['record', '--all-benches', '--in', folder])).toMatchObject({
      code: 1,
      out: '',
      err: expect.stringMatching(/^No connection to the shared history/),
    });
    expect((await run(['record', '--in', folder])).code).toBe(0);
  },
);
