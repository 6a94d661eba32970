/** How a scale of `workshop.yaml` is connected: a serial port, a network box, USB, or not at all. */
import { z } from 'zod';
import type { Unit } from '../mass/units.ts';
import type { Scale } from './model.ts';
import { readPortText } from './portText.ts';
import { id, plainText, quantity, yesNo } from './quantities.ts';

const PORTS = 'a serial port such as `/dev/ttyUSB0` or `COM3`, `tcp:HOST:PORT`, or `hid:` for a USB scale';

/** What a USB scale is taken to do unless the file says. */
const USUAL_USB = { unit: 'g', rhythm: 'continuous', linesPerSecond: 4 } as const;

/** The keys of a scale that say how it is connected. */
export const connectionKeys = {
  port: plainText(PORTS, 200)
    .refine(
      (text) => readPortText(text) !== undefined,
      'a port as in `tcp:192.168.1.20:4001`, `hid:` or `hid:1a2b:0001`',
    )
    .optional(),
  profile: id.optional(),
  adapter: plainText("the serial number of the port's adapter, as `bismar scale list` shows it", 60).optional(),
  keyed: yesNo.optional(),
  unit: z.enum(['g', 'kg', 'mg', 'oz', 'lb', 'gr', 'ct', 'dwt', 'ozt'] as const satisfies readonly Unit[]).optional(),
  rhythm: z.enum(['continuous', 'on-change']).optional(),
  'lines per second': quantity(
    'a number such as `4`',
    (text) => (/^\d+(\.\d+)?$/.test(text) ? Number(text) : undefined),
    (value) => (value >= 0.1 && value <= 200 ? undefined : 'a number of 0.1 to 200'),
  ).optional(),
};

type Entry = z.output<z.ZodObject<typeof connectionKeys>>;

/** Says what does not go together. */
export function checkConnection(entry: Entry, say: (path: string[], message: string) => void): void {
  const { port, profile, adapter, keyed } = entry;
  const kind = port === undefined ? undefined : readPortText(port)?.kind;
  const isThere = (key: keyof Entry): boolean => entry[key] !== undefined;
  const or = 'or `keyed: yes` for a scale whose display is typed in';
  if (keyed === true) {
    if (port !== undefined) say(['port'], 'no port for a scale that is `keyed: yes`');
    if (profile !== undefined) say(['profile'], 'no profile for a scale that is `keyed: yes`');
  } else if (kind === 'hid') {
    if (profile !== undefined) say(['profile'], 'no profile: the standard for USB scales says how it speaks');
  } else {
    if (port === undefined) say(['port'], `its port: ${PORTS}; ${or}`);
    if (profile === undefined) say(['profile'], `the name of its wire profile, ${or}`);
  }
  if (adapter !== undefined && kind !== 'serial') say(['adapter'], 'no adapter, which only a serial port has');
  for (const key of ['unit', 'rhythm', 'lines per second'] as const) {
    if (isThere(key) && kind !== 'hid') say([key], 'no such key: only a USB scale (`port: hid:`) needs it');
  }
}

/** The part of a scale that says how it is connected. */
export function connectionOf(entry: Entry): Pick<Scale, 'port' | 'profile' | 'adapter' | 'usb'> {
  const { port, profile, adapter } = entry;
  const isUsb = port !== undefined && readPortText(port)?.kind === 'hid';
  const usb = {
    unit: entry.unit ?? USUAL_USB.unit,
    rhythm: entry.rhythm ?? USUAL_USB.rhythm,
    linesPerSecond: entry['lines per second'] ?? USUAL_USB.linesPerSecond,
  };
  return { port, profile, adapter, usb: isUsb ? usb : undefined };
}
