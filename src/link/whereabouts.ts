/**
 * Where is a scale's adapter now? Ports change their names when cables are pulled and plugged (`/dev/ttyUSB0` comes
 * back as `/dev/ttyUSB1`), and another adapter may get the old name. Pure: judged from what was seen while the scale
 * was connected and from the ports there are now.
 */
import type { ListedPort } from './listPorts.ts';

/** What tells an adapter; cheap ones of one kind are all alike. */
export type Adapter = Pick<ListedPort, 'serialNumber' | 'vendorId' | 'productId'>;

/** What is known of one scale's port. */
export interface KnownPort {
  readonly scale: string;
  /** Its path in the workshop file, or the one it was last at. */
  readonly path: string;
  /** Serial number of its adapter out of the workshop file: nothing else is its port then. */
  readonly pinned: string | undefined;
  /** The adapter that was there while it was connected; undefined before that, or where there was nothing to see. */
  readonly adapter: Adapter | undefined;
  /** The ports there were while it was connected, by `portKey`; undefined before that. */
  readonly before: ReadonlySet<string> | undefined;
  /** It is connected, and known to be the right one. */
  readonly isOpen: boolean;
  /** The path that it has open now, also one that it only tries. */
  readonly holds: string | undefined;
}

export type Whereabouts =
  | { readonly kind: 'there'; readonly path: string; readonly say?: string }
  /** Only its lines can tell. */
  | { readonly kind: 'perhaps'; readonly paths: readonly string[] }
  | { readonly kind: 'nowhere'; readonly say: string };

/** Tells a port from another, and the same name with another adapter behind it. */
export function portKey({ path, serialNumber, vendorId, productId }: ListedPort): string {
  return [path, vendorId, productId, serialNumber].join(' ');
}

/**
 * - An adapter with a serial number of its own is known anywhere.
 * - Otherwise the old name is taken while the same kind of adapter is there; then a port of that kind that was not
 *   there before, if it is the only one and no other scale that is gone has one like it.
 * - What is left are ports that were not there before, used by no other scale.
 * - A port with another adapter behind the old name is never taken.
 * @param now the ports there are, `known.path` being the real one (symbolic links followed)
 * @param others the other scales' ports
 */
export function whereabouts(known: KnownPort, now: readonly ListedPort[], others: readonly KnownPort[]): Whereabouts {
  const taken = new Set(others.map(({ holds }) => holds));
  const free = now.filter(({ path }) => !taken.has(path));
  if (known.pinned !== undefined) return pinnedTo(known.pinned, known, now);

  const { adapter, before, path } = known;
  if (before === undefined) return { kind: 'there', path };
  const here = now.find((port) => port.path === path);
  const newcomers = free.filter((port) => port.likely && !before.has(portKey(port)));
  if (adapter === undefined) {
    // Never listed, such as a pseudo-terminal or a typed name: nothing can be said of it.
    const wasListed = [...before].some((key) => key.startsWith(`${path} `));
    if (here || !wasListed || newcomers.length === 0) return { kind: 'there', path };
    return { kind: 'perhaps', paths: pathsOf(newcomers) };
  }

  const same = free.filter((port) => isSame(port, adapter));
  const rivals = others.filter((other) => !other.isOpen && other.adapter && isSame(other.adapter, adapter));
  const [only] = same;
  if (adapter.serialNumber !== undefined && only && same.length === 1 && rivals.length === 0) {
    return { kind: 'there', path: only.path };
  }
  if (here && isSame(here, adapter)) {
    if (rivals.length === 0) return { kind: 'there', path };
    const who = rivals.map(({ scale }) => scale).join(' and ');
    const say = `The ${known.scale} scale's port is back. Its adapter can't be told from that of ${who}: make sure that the right scale answers.`;
    return { kind: 'there', path, say };
  }
  const alike = newcomers.filter((port) => isSame(port, adapter));
  const [first] = alike;
  if (first && alike.length === 1 && rivals.length === 0) return { kind: 'there', path: first.path };
  if (alike.length > 0) return { kind: 'perhaps', paths: pathsOf(alike) };
  if (!here) return { kind: 'there', path };
  return {
    kind: 'nowhere',
    say: `Another adapter is at ${path} now, not that of the ${known.scale} scale. Plug the ${known.scale} scale in; this goes on by itself. What is recorded is safe.`,
  };
}

function pinnedTo(pinned: string, { scale }: KnownPort, now: readonly ListedPort[]): Whereabouts {
  const found = now.filter(({ serialNumber }) => serialNumber === pinned);
  const [only] = found;
  if (only && found.length === 1) return { kind: 'there', path: only.path };
  const say =
    found.length === 0
      ? `The adapter "${pinned}" of the ${scale} scale is not plugged in. Plug it in; "bismar scale list" shows the adapters there are.`
      : `More than one adapter has the serial number "${pinned}", so the ${scale} scale can't be told by it. Take the line "adapter" out of workshop.yaml, or unplug the others.`;
  return { kind: 'nowhere', say };
}

function isSame(a: Adapter, b: Adapter): boolean {
  if (a.vendorId !== b.vendorId || a.productId !== b.productId) return false;
  return a.serialNumber === b.serialNumber;
}

function pathsOf(ports: readonly ListedPort[]): string[] {
  return ports.map(({ path }) => path);
}
