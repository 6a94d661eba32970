/** Names of page files: safe on every disk, never out of their folder, and never the same for two things. */
import { createHash } from 'node:crypto';

/** Ids that bismar gives itself (`2026-11-25-1`) stand as they are. No device of any system is called so. */
const PLAIN = /^\d[\d-]{0,39}$/;

/**
 * The name of a page for a batch or a lot, without a folder.
 * @param parts the ids that tell it apart from all others; any text
 */
export function pageName(...parts: readonly string[]): string {
  const [only = ''] = parts;
  if (parts.length === 1 && PLAIN.test(only)) return `${only}.html`;
  const shown = parts
    .join('-')
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .slice(0, 48)
    .replace(/^-+|-+$/g, '');
  // What was left out, capitals too (some disks do not tell them apart), is in the hash.
  const hash = createHash('sha256').update(JSON.stringify(parts)).digest('hex').slice(0, 12);
  return `${shown === '' ? 'page' : shown}-${hash}.html`;
}
