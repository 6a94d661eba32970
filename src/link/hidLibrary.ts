/** USB scales as the system shows them, through the optional library `node-hid`. */
import { readFile } from 'node:fs/promises';
import { basename } from 'node:path';
import { cleanText } from '../facts/cleanText.ts';
import { cutToWidth } from '../facts/textWidth.ts';
import { SCALE_PAGE } from '../wire/hidDescriptor.ts';
import { type HidSpec, hidText } from '../workshop/portText.ts';

/** One device as the library lists it; a device may be listed once for each of its uses. */
export interface HidInfo {
  readonly path?: string | undefined;
  readonly vendorId: number;
  readonly productId: number;
  readonly serialNumber?: string | undefined;
  readonly manufacturer?: string | undefined;
  readonly product?: string | undefined;
  readonly usagePage?: number | undefined;
}

export interface HidDevice {
  on(event: 'data', listener: (report: Uint8Array) => void): unknown;
  /** It can't be read any more; it is not read after that. */
  on(event: 'error', listener: (error: Error) => void): unknown;
  close(): Promise<void>;
}

/** What this program needs of the library. */
export interface HidLibrary {
  list(): Promise<readonly HidInfo[]>;
  open(path: string): Promise<HidDevice>;
  /** The device's report descriptor; undefined where the system does not hand it out. */
  descriptor(path: string): Promise<Uint8Array | undefined>;
}

/** A USB scale that is plugged in. */
export interface HidScale extends HidSpec {
  readonly path: string;
  readonly vendorId: number;
  readonly productId: number;
  /** As it says itself, cleaned. */
  readonly name: string;
}

/** There is no such library here; its message is a sentence for the maker. */
export class NoHidLibrary extends Error {}

/** Loads the library. It is loaded when a USB scale is first wanted, so that nobody else waits for it. */
export async function loadHidLibrary(): Promise<HidLibrary> {
  try {
    const { devicesAsync, HIDAsync } = await import('node-hid');
    return { list: () => devicesAsync(), open: (path) => HIDAsync.open(path), descriptor: descriptorOnLinux };
  } catch (error) {
    const why = cutToWidth(cleanText(error instanceof Error ? error.message : String(error)), 120);
    throw new NoHidLibrary(
      `USB scales need the library "node-hid", which does not work here (${why}). Run "npm install node-hid" where bismar is installed. Scales on serial ports and network boxes work without it.`,
    );
  }
}

/** Everybody may read it there, without opening the device. */
async function descriptorOnLinux(path: string): Promise<Uint8Array | undefined> {
  if (!/^\/dev\/hidraw\d+$/.test(path)) return undefined;
  return readFile(`/sys/class/hidraw/${basename(path)}/device/report_descriptor`).catch(() => undefined);
}

/** The USB scales that are plugged in, each once. */
export async function hidScales(library: HidLibrary): Promise<HidScale[]> {
  const scales = new Map<string, HidScale>();
  for (const { path, usagePage, vendorId, productId, ...said } of await library.list()) {
    if (path === undefined || path === '' || usagePage !== SCALE_PAGE) continue;
    const serialNumber = shown(said.serialNumber);
    const name = [shown(said.manufacturer), shown(said.product)].filter((part) => part !== undefined).join(' ');
    scales.set(path, { path, vendorId, productId, serialNumber, name });
  }
  return [...scales.values()].sort((a, b) => hidText(a).localeCompare(hidText(b), 'en'));
}

function shown(text: string | undefined): string | undefined {
  const clean = text === undefined ? '' : cutToWidth(cleanText(text), 60).trim();
  return clean === '' ? undefined : clean;
}
