/**
 * Builds the program once for all journeys and lays it out as it is installed: what package.json lists under `files`,
 * and nothing else of this folder. A file that is not shipped is missing here too.
 */
import { execFileSync } from 'node:child_process';
import { chmodSync, cpSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { TestProject } from 'vitest/node';

declare module 'vitest' {
  interface ProvidedContext {
    /** The built program's first file. */
    readonly program: string;
  }
}

const root = fileURLToPath(new URL('../..', import.meta.url));

export default function setup(project: TestProject): () => void {
  // Inside node_modules, so that the program finds its libraries there as an installed one does.
  const installed = mkdtempSync(join(root, 'node_modules', '.bismar-built-'));
  chmodSync(installed, 0o755); // one test runs it as another user
  const remove = (): void => rmSync(installed, { recursive: true, force: true });
  try {
    const { files } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')) as { files: string[] };
    for (const file of ['package.json', ...files.filter((each) => !each.startsWith('dist'))]) {
      cpSync(join(root, file), join(installed, file), { recursive: true });
    }
    execFileSync(process.execPath, [join(root, 'src/build.mjs'), join(installed, 'dist')], { stdio: 'inherit' });
  } catch (error) {
    remove();
    throw error;
  }
  project.provide('program', join(installed, 'dist/bismar.js'));
  return remove;
}
