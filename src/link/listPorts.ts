/** The serial ports of this computer, as far as the system tells. A typed path is always accepted too. */
import { cleanText } from '../facts/cleanText.ts';
import { cutToWidth } from '../facts/textWidth.ts';

export interface ListedPort {
  readonly path: string;
  /** Who made the adapter, as it says itself; cleaned for printing. */
  readonly maker: string | undefined;
  /** Tells one adapter from another of the same kind; cheap ones have none. */
  readonly serialNumber: string | undefined;
  readonly vendorId: string | undefined;
  readonly productId: string | undefined;
  /** False for ports that the system lists although nothing may be behind them. */
  readonly likely: boolean;
}

/** What the serial library lists. */
export interface FoundPort {
  readonly path: string;
  readonly manufacturer?: string | undefined;
  readonly serialNumber?: string | undefined;
  readonly pnpId?: string | undefined;
  readonly vendorId?: string | undefined;
  readonly productId?: string | undefined;
}

export interface PortList {
  /** Likely ones first. */
  readonly ports: readonly ListedPort[];
  /** A sentence when the list can't be had. */
  readonly say: string | undefined;
}

async function libraryList(): Promise<readonly FoundPort[]> {
  const { SerialPort } = await import('serialport');
  return SerialPort.list();
}

/** Lists the ports; never rejects. */
export async function listPorts(find: () => Promise<readonly FoundPort[]> = libraryList): Promise<PortList> {
  try {
    const ports = (await find()).map(toListed).sort(byUse);
    return { ports, say: undefined };
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error);
    const say = /udevadm/.test(why)
      ? "The ports can't be listed: the system's \"udevadm\" is missing. A port's path, such as /dev/ttyUSB0, can be typed all the same."
      : `The ports can't be listed: ${shown(why)}. A port's path can be typed all the same.`;
    return { ports: [], say };
  }
}

function toListed({ path, manufacturer, serialNumber, pnpId, vendorId, productId }: FoundPort): ListedPort {
  return {
    path: shown(path) ?? '',
    maker: shown(manufacturer),
    serialNumber: shown(serialNumber),
    vendorId: shown(vendorId),
    productId: shown(productId),
    likely: vendorId !== undefined || pnpId !== undefined,
  };
}

function byUse(a: ListedPort, b: ListedPort): number {
  if (a.likely !== b.likely) return a.likely ? -1 : 1;
  return a.path.localeCompare(b.path, 'en', { numeric: true });
}

/** An adapter's words are foreign text. */
function shown(text: string | undefined): string | undefined {
  return text === undefined ? undefined : cutToWidth(cleanText(text).trim(), 60);
}
