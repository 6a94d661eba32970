/** What a program listens on: found in /proc, so only where there is one (Linux). */
import { existsSync, readdirSync, readFileSync, readlinkSync } from 'node:fs';

export const canSeeListening = existsSync('/proc/self/net/tcp');

/** Kernel tables of TCP sockets write the state LISTEN as 0A, of UDP sockets that are bound as 07 (proc(5)). */
const TABLES = [
  ['tcp', '0A'],
  ['tcp6', '0A'],
  ['udp', '07'],
  ['udp6', '07'],
] as const;

/** Local addresses (hexadecimal, as the kernel prints them) that a process waits on for others. */
export function listeningOn(pid: number): string[] {
  const own = new Set(
    readdirSync(`/proc/${pid}/fd`).flatMap((fd) => {
      try {
        return /^socket:\[(\d+)\]$/.exec(readlinkSync(`/proc/${pid}/fd/${fd}`))?.[1] ?? [];
      } catch {
        return []; // closed meanwhile
      }
    }),
  );
  return TABLES.flatMap(([table, waiting]) => {
    const file = `/proc/${pid}/net/${table}`;
    if (!existsSync(file)) return [];
    const rows = readFileSync(file, 'utf8').trim().split('\n').slice(1);
    return rows.flatMap((row) => {
      const [, local = '', , state, , , , , , inode = ''] = row.trim().split(/\s+/);
      return state === waiting && own.has(inode) ? [`${table} ${local}`] : [];
    });
  });
}
