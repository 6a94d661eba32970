/** Ports on the serial library. It is loaded at the first opening, so that commands without a port start at once. */
import { stat } from 'node:fs/promises';
import type { SerialPort, SerialPortMock } from 'serialport';
import type { SerialSettings } from '../wire/profile.ts';
import type { OpenPort, Port, PortEvents } from './port.ts';

/** Opens a real port. */
export const openSerialPort: OpenPort = async (path, settings, hear) => {
  const library = await import('serialport');
  return openStream(new library.SerialPort({ path, ...optionsOf(settings), autoOpen: false }), path, hear);
};

/** Our settings in the library's words. */
export function optionsOf({ baud, dataBits, parity, stopBits }: SerialSettings): {
  baudRate: number;
  dataBits: 7 | 8;
  parity: SerialSettings['parity'];
  stopBits: 1 | 2;
} {
  return { baudRate: baud, dataBits, parity, stopBits };
}

/** Opens a port object of the library (or of its mock) and gives it our interface. */
export async function openStream(stream: SerialPort | SerialPortMock, path: string, hear: PortEvents): Promise<Port> {
  let closed = false;
  const tellClosed = (why: Error | null): void => {
    if (closed) return;
    closed = true;
    hear.closed(why);
  };
  const close = (): Promise<void> =>
    new Promise((resolve) => {
      if (!stream.isOpen) resolve();
      else stream.close(() => resolve());
    });

  stream.on('data', (chunk: Buffer) => hear.data(chunk));
  stream.on('close', (why: Error | null) => tellClosed(why));
  stream.on('error', (error: Error) => hear.error(error));
  // No byte to read where there should be one: the line has hung up, yet the library keeps the port open.
  stream.on('end', () => {
    void close();
    tellClosed(new Error('the port has hung up'));
  });
  await new Promise<void>((resolve, reject) => {
    stream.open((error) => (error ? reject(error) : resolve()));
  });
  const opened = await deviceAt(path);

  return {
    write: (bytes) =>
      new Promise((resolve, reject) => {
        const chunk = typeof bytes === 'string' ? Buffer.from(bytes, 'latin1') : Buffer.from(bytes);
        stream.write(chunk, undefined, (error) => (error ? reject(error) : resolve()));
      }),
    close,
    present: async () => opened === undefined || (await deviceAt(path)) === opened,
  };
}

/** Tells a device file from another one that later has its name; undefined where there are no device files. */
async function deviceAt(path: string): Promise<string | undefined> {
  try {
    const { dev, ino, rdev } = await stat(path);
    return `${dev}:${ino}:${rdev}`;
  } catch {
    return undefined;
  }
}
