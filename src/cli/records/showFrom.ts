/** Screen, lines or JSON: as asked, else by what the program talks to. */
import type { ShowAs } from '../weigh/workbench.ts';

export function showFrom({ plain, json }: { readonly plain?: boolean; readonly json?: boolean }): ShowAs {
  if (json) return 'json';
  if (plain) return 'plain';
  return process.stdin.isTTY && process.stdout.isTTY ? 'screen' : 'plain';
}
