/** Two pseudo-terminals joined by `socat`: what is written to one comes out of the other. Not on Windows. */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { rm } from 'node:fs/promises';

export interface Pair {
  readonly near: string;
  readonly far: string;
  /** Ends it; resolves when its process is gone, and the names that were given to its ends. */
  kill(): Promise<void>;
}

/**
 * Starts a pair.
 * @param links names (symbolic links) to give the two ends; otherwise the system's own names are returned
 * @throws (rejects) with a sentence when `socat` is missing or ends early
 */
export async function startPair(links?: { readonly near: string; readonly far: string }): Promise<Pair> {
  const end = (link: string | undefined): string => `pty,raw,echo=0${link === undefined ? '' : `,link=${link}`}`;
  // A process group of its own, so that nothing of it stays when it is ended.
  const child = spawn('socat', ['-d', '-d', end(links?.near), end(links?.far)], {
    stdio: ['ignore', 'ignore', 'pipe'],
    detached: true,
  });
  const paths = await new Promise<string[]>((resolve, reject) => {
    let said = '';
    child.once('error', () =>
      reject(
        new Error(
          'A pair of pseudo-terminals needs the program "socat", which is not installed. Install it, or give a real port with --port.',
        ),
      ),
    );
    child.once('exit', () => reject(new Error(`"socat" has ended: ${said.trim().slice(-200)}`)));
    child.stderr.setEncoding('utf8').on('data', (text: string) => {
      said += text;
      if (!/starting data transfer loop/.test(said)) return;
      resolve([...said.matchAll(/PTY is (\S+)/g)].map(([, path = '']) => path));
    });
  });
  child.stderr.removeAllListeners('data').resume();
  const [near = '', far = ''] = paths;
  return {
    near: links?.near ?? near,
    far: links?.far ?? far,
    async kill() {
      if (child.exitCode !== null || child.signalCode !== null || child.pid === undefined) return;
      const gone = once(child, 'exit');
      process.kill(-child.pid, 'SIGKILL');
      await gone;
      // Left behind, the names would soon lead to somebody else's pseudo-terminal: the system numbers them anew.
      for (const link of links ? [links.near, links.far] : []) await rm(link, { force: true });
    },
  };
}
