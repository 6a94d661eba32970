/**
 * A USB scale of the HID standard. It needs no wire profile: the standard says how it speaks. Reports come whole, so
 * none is dropped; what keeps it open is the same as for any other scale.
 */

import { cleanText } from '../facts/cleanText.ts';
import { cutToWidth } from '../facts/textWidth.ts';
import { type HidLayout, readHidLayout, USUAL_LAYOUT } from '../wire/hidLayout.ts';
import { decodeHidReport } from '../wire/hidReport.ts';
import type { ScaleSource } from '../wire/reading.ts';
import { type HidSpec, hidText, mayBeSameHid, toHex } from '../workshop/portText.ts';
import { type Clock, realClock } from './clock.ts';
import { type HidLibrary, type HidScale, hidScales, loadHidLibrary, NoHidLibrary } from './hidLibrary.ts';
import { keepOpen, type Opened } from './keepOpen.ts';
import type { Port, PortEvents } from './port.ts';
import type { PortTrouble } from './portTrouble.ts';

export interface HidSourceSettings {
  /** Id of the scale. */
  readonly scale: string;
  readonly spec: HidSpec;
  /** True for a scale that sends on change only. */
  readonly mayBeQuiet: boolean;
  readonly clock?: Clock;
  readonly library?: () => Promise<HidLibrary>;
  readonly platform?: NodeJS.Platform;
}

/** Makes the source; nothing happens before `start`. What it tells of its state: `keepOpen`. */
export function createHidSource(settings: HidSourceSettings): ScaleSource {
  const { scale, mayBeQuiet, clock = realClock, library = loadHidLibrary, platform = process.platform } = settings;
  /** Once it was open it must be the very same scale, as far as that can be told. */
  let spec = settings.spec;
  let layout: HidLayout = USUAL_LAYOUT;

  const open = async (hear: PortEvents): Promise<Opened> => {
    const usb = await library();
    const found = await find(usb, spec, scale);
    layout = await layoutOf(usb, found);
    const port = await openDevice(usb, found.path, hear).catch((error: unknown) => {
      throw new HidTrouble(cannotOpen(error, found, platform));
    });
    spec = asked(found);
    return { port, onTrial: false };
  };

  return keepOpen({
    scale,
    clock,
    mayBeQuiet,
    open,
    receiver: (voice) => ({
      opened() {},
      write(report, at) {
        voice.heard(at);
        voice.tell(decodeHidReport(report, at, layout));
      },
      end() {},
    }),
    trouble,
    gone: () =>
      `The scale "${scale}" is gone from USB: cable pulled or power lost. Plug it in and switch it on; this goes on by itself. What is recorded is safe.`,
  });
}

/** Something is in the way; its message is a sentence for the maker. */
class HidTrouble extends Error {
  readonly kind: PortTrouble['kind'];
  constructor({ kind, say }: PortTrouble) {
    super(say);
    this.kind = kind;
  }
}

function trouble(error: unknown): PortTrouble {
  if (error instanceof HidTrouble) return { kind: error.kind, say: error.message };
  if (error instanceof NoHidLibrary) return { kind: 'other', say: error.message };
  return { kind: 'other', say: `USB can't be looked at: ${textOf(error)}.` };
}

function textOf(error: unknown): string {
  return cutToWidth(cleanText(error instanceof Error ? error.message : String(error)), 160);
}

async function find(usb: HidLibrary, spec: HidSpec, scale: string): Promise<HidScale> {
  const fitting = (await hidScales(usb)).filter((each) => mayBeSameHid(spec, asked(each)));
  const [found, second] = fitting;
  if (!found) {
    const which = hidText(spec) === 'hid:' ? 'no USB scale' : `no USB scale ${hidText(spec)}`;
    throw new HidTrouble({
      kind: 'missing',
      say: `There is ${which}. Plug the ${scale} scale in and switch it on; "bismar scale list" shows the USB scales there are.`,
    });
  }
  if (second) {
    const names = fitting.map((each) => hidText(each)).join(', ');
    throw new HidTrouble({
      kind: 'other',
      say: `There is more than one USB scale that may be the ${scale} scale: ${names}. Write into workshop.yaml which one it is, such as port: ${hidText(found)}. Where these are all alike, only one of them can be plugged in.`,
    });
  }
  return found;
}

/** All that tells this one: a scale without a serial number is not the one that a serial number was asked for. */
function asked({ vendorId, productId, serialNumber = '' }: HidScale): HidSpec {
  return { vendorId, productId, serialNumber };
}

async function layoutOf(usb: HidLibrary, { path, ...scale }: HidScale): Promise<HidLayout> {
  const descriptor = await usb.descriptor(path);
  if (descriptor === undefined) return USUAL_LAYOUT;
  const layout = readHidLayout(descriptor);
  if (layout) return layout;
  throw new HidTrouble({
    kind: 'other',
    say: `The USB scale ${hidText(scale)} does not send its weight as the standard says, so it can't be read. If it has a serial port, use that one.`,
  });
}

async function openDevice(usb: HidLibrary, path: string, hear: PortEvents): Promise<Port> {
  const device = await usb.open(path);
  let ended = false;
  const end = (why: Error | null): void => {
    if (ended) return;
    ended = true;
    hear.closed(why);
  };
  device.on('error', (error) => {
    end(error);
    device.close().catch(() => {});
  });
  device.on('data', (report) => {
    if (!ended) hear.data(report);
  });
  return {
    write: async () => {
      throw new Error('nothing is written to a USB scale');
    },
    async close() {
      if (ended) return;
      end(null);
      await device.close();
    },
    present: async () => (await hidScales(usb)).some((scale) => scale.path === path),
  };
}

function cannotOpen(error: unknown, scale: HidScale, platform: NodeJS.Platform): PortTrouble {
  const text = textOf(error);
  const name = hidText(scale);
  if (!/permission denied|access (is )?denied|not permitted/i.test(text)) {
    return {
      kind: 'other',
      say: `The USB scale ${name} can't be opened: ${text}. Pull its cable out and plug it in again.`,
    };
  }
  if (platform !== 'linux') {
    const say = `You may not use the USB scale ${name}, or another program has it. Close that one; this will go on by itself.`;
    return { kind: 'permission', say };
  }
  const rule = `KERNEL=="hidraw*", ATTRS{idVendor}=="${toHex(scale.vendorId)}", ATTRS{idProduct}=="${toHex(scale.productId)}", TAG+="uaccess", MODE="0660"`;
  return {
    kind: 'permission',
    say: `You may not use the USB scale ${name}. Write this line into the file /etc/udev/rules.d/60-bismar.rules: ${rule} Then: sudo udevadm control --reload-rules, and plug the scale in again.`,
  };
}
