/**
 * A port at the other end of a network: a box that has serial ports on one side and gives their bytes over TCP on the
 * other, unchanged. Its speed and parity are set in the box.
 */
import { connect, type Socket } from 'node:net';
import { readPortText, type TcpAddress } from '../workshop/portText.ts';
import type { OpenPort, Port, PortEvents } from './port.ts';

/** A box that does not answer within so long is not reachable, milliseconds. */
export const CONNECT_MS = 5000;
/** A box that is gone without a word is asked after so long of quiet, milliseconds; the system decides when it is gone. */
const ASK_IF_ALIVE_MS = 5000;

/**
 * Bytes of one line may come in packets, and a lost packet is sent again only after a second or more. For
 * `receiveLines`, milliseconds.
 */
export const TCP_DELAY_MS = 2500;

/** Makes an opener. @param dial makes the connection; for tests */
export function tcpOpener(dial: (address: TcpAddress) => Socket = connect, connectMs: number = CONNECT_MS): OpenPort {
  return async (path, _settings, hear) => {
    const named = readPortText(path);
    if (named?.kind !== 'tcp') throw new Error(`${path} is not a serial port: tcp:HOST:PORT was expected`);
    const socket = dial(named.address);
    await connected(socket, connectMs);
    return toPort(socket, hear);
  };
}

export const openTcpPort: OpenPort = tcpOpener();

function connected(socket: Socket, ms: number): Promise<void> {
  return new Promise((resolve, reject) => {
    const fail = (error: NodeJS.ErrnoException): void => {
      socket.destroy();
      // A name with several addresses fails with several errors and no message of its own.
      reject(error.message === '' ? new Error(`connect ${error.code}`) : error);
    };
    socket.once('error', fail);
    socket.setTimeout(ms, () => fail(new Error(`connect ETIMEDOUT: no answer for ${ms / 1000} s`)));
    socket.once('connect', () => {
      socket.setTimeout(0);
      socket.removeListener('error', fail);
      resolve();
    });
  });
}

function toPort(socket: Socket, hear: PortEvents): Port {
  let why: Error | null = new Error('the other end has closed the connection');
  socket.setNoDelay(true);
  socket.setKeepAlive(true, ASK_IF_ALIVE_MS);
  socket.on('data', (chunk: Buffer) => hear.data(chunk));
  socket.on('error', (error) => {
    if (why !== null) why = error;
    hear.error(error);
  });
  // The other end says that it will send no more: there is nothing to stay for.
  socket.on('end', () => socket.destroy());
  const closed = new Promise<void>((resolve) => {
    socket.once('close', () => {
      hear.closed(why);
      resolve();
    });
  });
  return {
    write: (bytes) =>
      new Promise((resolve, reject) => {
        const chunk = typeof bytes === 'string' ? Buffer.from(bytes, 'latin1') : Buffer.from(bytes);
        socket.write(chunk, (error) => (error ? reject(error) : resolve()));
      }),
    close() {
      if (!socket.destroyed) why = null;
      socket.destroy();
      return closed;
    },
  };
}
