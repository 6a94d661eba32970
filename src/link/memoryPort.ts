/**
 * A cable between two ports in memory. The demo and many tests run through it: the same link, the same splitting
 * and decoding as on a real port, only the wire is missing. It can be pulled out and plugged in.
 */
import type { OpenPort, Port, PortEvents } from './port.ts';

export interface MemoryCable {
  /** The end that the program opens. */
  readonly near: OpenPort;
  /** The end at the scale. */
  readonly far: OpenPort;
  /** Pulls it out: both ends close with an error and can't be opened. */
  unplug(): void;
  plug(): void;
}

interface End {
  open: PortEvents | undefined;
}

export function createMemoryCable(): MemoryCable {
  const near: End = { open: undefined };
  const far: End = { open: undefined };
  let plugged = true;

  const opener =
    (end: End, other: End): OpenPort =>
    async (path, _settings, hear) => {
      // The sentences are the serial library's own, so that they take the same way to the maker.
      if (!plugged) throw new Error(`Error: No such file or directory, cannot open ${path}`);
      if (end.open) throw new Error('Error: Resource temporarily unavailable Cannot lock port');
      end.open = hear;
      const port: Port = {
        async write(bytes) {
          if (end.open !== hear) throw new Error('Port is not open');
          const chunk = typeof bytes === 'string' ? Buffer.from(bytes, 'latin1') : Uint8Array.from(bytes);
          const listener = other.open;
          // Later, as on a wire: the sender never finds itself called back from inside its own write.
          queueMicrotask(() => {
            if (listener !== undefined && other.open === listener) listener.data(chunk);
          });
        },
        async close() {
          if (end.open !== hear) return;
          end.open = undefined;
          hear.closed(null);
        },
      };
      return port;
    };

  return {
    near: opener(near, far),
    far: opener(far, near),
    unplug() {
      plugged = false;
      for (const end of [near, far]) {
        const hear = end.open;
        end.open = undefined;
        hear?.closed(Object.assign(new Error('the cable was pulled out'), { disconnected: true }));
      }
    },
    plug() {
      plugged = true;
    },
  };
}
