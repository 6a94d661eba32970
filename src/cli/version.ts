/** The program's version, from its package file. */
import { readFileSync } from 'node:fs';

export function version(): string {
  const text = readFileSync(new URL('../package.json', import.meta.url), 'utf8');
  const { version: found } = JSON.parse(text) as { version?: string };
  return found ?? '0';
}
