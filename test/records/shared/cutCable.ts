/** A network between a bench and its server that breaks: it passes bytes on, and cuts connections when it is told to. */
import { connect, createServer, type Server, type Socket } from 'node:net';

/** Where a connection is cut: after so many bytes that one side has sent. */
export interface Cut {
  readonly sentBy: 'bench' | 'server';
  readonly bytes: number;
  /** Counted since the connection was made, or since `sending` was called. */
  readonly since: 'connecting' | 'sending';
}

export interface CutCable {
  readonly port: number;
  /**
   * From now on each new connection is cut as `next` says, or not at all. What one side has sent up to there arrives: so
   * the server may have done what the bench never hears of.
   */
  cutAfter(next: () => Cut | undefined): void;
  /** The bench begins to send facts. */
  sending(): void;
  /** No connection is made until it is mended; those that are open break. */
  breakOff(): void;
  mend(): void;
  readonly cuts: number;
  close(): Promise<void>;
}

export async function layCable(socket: string): Promise<CutCable> {
  let broken = false;
  let isSending = false; // one bench, one connection at a time
  let next: () => Cut | undefined = () => undefined;
  let cuts = 0;
  const open = new Set<Socket>();
  const server: Server = createServer((near) => {
    if (broken) {
      near.destroy();
      return;
    }
    const far = connect(socket);
    const due = next();
    isSending = false;
    let left = due?.bytes ?? 0;
    const cut = () => {
      near.destroy();
      far.destroy();
    };
    const pass = (from: Socket, to: Socket) => {
      open.add(from);
      from.on('data', (chunk) => {
        if (due?.sentBy !== (from === near ? 'bench' : 'server') || (due.since === 'sending' && !isSending)) {
          to.write(chunk);
          return;
        }
        const passes = chunk.subarray(0, left);
        left -= passes.length;
        if (passes.length > 0) to.write(passes);
        if (left > 0) return;
        cuts += 1;
        to.end(); // what has passed arrives
        setImmediate(cut);
      });
      from.on('error', () => {});
      from.on('close', () => {
        open.delete(from);
        to.destroy();
      });
    };
    pass(near, far);
    pass(far, near);
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const address = server.address();
  return {
    port: typeof address === 'object' && address ? address.port : 0,
    cutAfter(how) {
      next = how;
    },
    sending() {
      isSending = true;
    },
    breakOff() {
      broken = true;
      for (const each of open) each.destroy();
    },
    mend() {
      broken = false;
    },
    get cuts() {
      return cuts;
    },
    close() {
      for (const each of open) each.destroy();
      return new Promise((resolve) => server.close(() => resolve()));
    },
  };
}
