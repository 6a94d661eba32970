/** What the `port` of a scale names: a serial port, a network box, or a USB scale of the HID standard. */

export interface TcpAddress {
  readonly host: string;
  readonly port: number;
}

/** Which USB scale; what is undefined may be anything. */
export interface HidSpec {
  readonly vendorId: number | undefined;
  readonly productId: number | undefined;
  readonly serialNumber: string | undefined;
}

export type PortText =
  | { readonly kind: 'serial'; readonly path: string }
  | { readonly kind: 'tcp'; readonly address: TcpAddress }
  | { readonly kind: 'hid'; readonly spec: HidSpec };

const TCP = /^tcp:(?:\[([0-9a-f:.]+(?:%\w+)?)\]|([a-z0-9](?:[a-z0-9._-]*[a-z0-9])?)):(\d{1,5})$/i;
const HID = /^hid:(?:([0-9a-f]{4}):([0-9a-f]{4})(?::(.{1,60}))?)?$/i;

/**
 * - `tcp:HOST:PORT`; an IPv6 address stands in brackets: `tcp:[::1]:4001`
 * - `hid:` (the only USB scale there is), `hid:VENDOR:PRODUCT` (four hexadecimal digits each), `hid:VENDOR:PRODUCT:SERIAL`
 * - anything else is the path of a serial port
 * @returns undefined when it begins with `tcp:` or `hid:` and does not go on like this
 */
export function readPortText(text: string): PortText | undefined {
  if (text.startsWith('tcp:')) {
    const found = TCP.exec(text);
    const host = found?.[1] ?? found?.[2];
    const port = Number(found?.[3]);
    return host === undefined || port < 1 || port > 65_535 ? undefined : { kind: 'tcp', address: { host, port } };
  }
  if (text.startsWith('hid:')) {
    const found = HID.exec(text);
    if (!found) return undefined;
    const [, vendor, product, serialNumber] = found;
    return { kind: 'hid', spec: { vendorId: fromHex(vendor), productId: fromHex(product), serialNumber } };
  }
  return { kind: 'serial', path: text };
}

/** The text that names one USB scale as closely as possible. */
export function hidText({ vendorId, productId, serialNumber }: HidSpec): string {
  if (vendorId === undefined || productId === undefined) return 'hid:';
  const serial = serialNumber === undefined || serialNumber === '' ? '' : `:${serialNumber}`;
  return `hid:${toHex(vendorId)}:${toHex(productId)}${serial}`;
}

/** Whether one scale might be meant by both. */
export function mayBeSameHid(a: HidSpec, b: HidSpec): boolean {
  const agree = <T>(x: T | undefined, y: T | undefined): boolean => x === undefined || y === undefined || x === y;
  return agree(a.vendorId, b.vendorId) && agree(a.productId, b.productId) && agree(a.serialNumber, b.serialNumber);
}

/**
 * Scales whose ports another one has, or might have.
 * @returns the later of each two, with the earlier one that clashes with it
 */
export function clashingPorts(
  scales: Readonly<Record<string, { readonly port?: string | undefined }>>,
): [string, string][] {
  const seen: { name: string; text: string; named: PortText | undefined }[] = [];
  const clashes: [string, string][] = [];
  for (const [name, { port: text }] of Object.entries(scales)) {
    if (text === undefined) continue;
    const named = readPortText(text);
    const other = seen.find((each) => {
      if (each.text === text) return true;
      return named?.kind === 'hid' && each.named?.kind === 'hid' && mayBeSameHid(named.spec, each.named.spec);
    });
    if (other) clashes.push([name, other.name]);
    seen.push({ name, text, named });
  }
  return clashes;
}

function fromHex(text: string | undefined): number | undefined {
  return text === undefined ? undefined : Number.parseInt(text, 16);
}

export function toHex(id: number): string {
  return id.toString(16).padStart(4, '0');
}
