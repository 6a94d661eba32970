/**
 * A port as the link sees it: bytes come, bytes go, and one day it closes. Behind it stands the serial library, a
 * memory cable or a test. A port exists only while it is open; a new opening is a new port.
 */
import type { SerialSettings } from '../wire/profile.ts';

/** What an open port tells. All of it may come late; whoever has closed a port must not listen any more. */
export interface PortEvents {
  data(chunk: Uint8Array): void;
  /** It is closed. `why` is null when that was asked for. Told once. */
  closed(why: Error | null): void;
  /** Something failed that did not close it. */
  error(error: Error): void;
}

export interface Port {
  /** @param bytes text is sent as Latin-1 */
  write(bytes: Uint8Array | string): Promise<void>;
  /** Resolves when it is closed; closing twice is harmless. */
  close(): Promise<void>;
  /** Whether the device is still there under the path it was opened by; undefined where that can't be known. */
  present?(): Promise<boolean>;
}

/**
 * Opens a port.
 * @param path e.g. `/dev/ttyUSB0`, `COM3`
 * @throws (rejects) with the library's error; `portTrouble.ts` says it in the maker's words
 */
export type OpenPort = (path: string, settings: SerialSettings, hear: PortEvents) => Promise<Port>;
