/** Joining without the network: it is said that it needs it, and for what. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { loadWorkshop } from '../../src/cli/folder.ts';
import { planJoining } from '../../src/cli/shared/join.ts';
import { demoText } from '../plan/fixtures.ts';
import { tempFolder } from '../records/tempFolder.ts';

test('a bench without the network is told that joining needs it once', async () => {
  const folder = tempFolder();
  // Nothing listens on port 1.
  const history = 'shared history: postgres://dye_room@127.0.0.1:1/x?sslmode=disable';
  writeFileSync(join(folder, 'workshop.yaml'), `${demoText}\n${history}\n`);
  await expect(planJoining(folder, loadWorkshop(folder))).rejects.toThrow(
    /^No connection.* Joining needs the network, once; weighing does not\.$/,
  );
});
