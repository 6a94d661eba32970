/** Opens whatever a scale's port text names: a serial port, or a network box by `tcp:HOST:PORT`. */
import type { OpenPort } from './port.ts';
import { openSerialPort } from './serialPort.ts';
import { openTcpPort, TCP_DELAY_MS } from './tcpPort.ts';

const isTcp = (path: string): boolean => path.startsWith('tcp:');

export const openPort: OpenPort = (path, settings, hear) =>
  isTcp(path) ? openTcpPort(path, settings, hear) : openSerialPort(path, settings, hear);

/** How long bytes on the way from this port may be held up, milliseconds; undefined: as on any serial port. */
export function delayOf(path: string): number | undefined {
  return isTcp(path) ? TCP_DELAY_MS : undefined;
}
