/** From how a scale is connected to the source of its readings. */
import { realpath } from 'node:fs/promises';
import { listPorts } from '../../link/listPorts.ts';
import type { PortDesk } from '../../link/portDesk.ts';
import type { Clock } from '../../signal/clock.ts';
import type { Profile } from '../../wire/profile.ts';
import type { ScaleSource } from '../../wire/reading.ts';
import type { Scale } from '../../workshop/model.ts';
import { readPortText } from '../../workshop/portText.ts';

/** What of a scale decides where its readings come from. */
export type Connected = Pick<Scale, 'id' | 'usb' | 'adapter'> & { readonly port: string };

/** The desk at which the serial ports of a run are told apart; all scales of the run share it. */
export async function openDesk(): Promise<PortDesk> {
  const { createPortDesk } = await import('../../link/portDesk.ts');
  return createPortDesk({ list: listPorts, realPath: realpath });
}

/**
 * The source, not started. Libraries are loaded here, so that only what is connected is waited for.
 * @param profile undefined for a USB scale
 */
export async function sourceOf(
  { id, port, usb, adapter }: Connected,
  profile: Profile | undefined,
  clock: Clock,
  desk: PortDesk,
): Promise<ScaleSource> {
  const named = readPortText(port);
  if (named?.kind === 'hid') {
    const { createHidSource } = await import('../../link/hidSource.ts');
    return createHidSource({ scale: id, spec: named.spec, mayBeQuiet: usb?.rhythm === 'on-change', clock });
  }
  if (profile === undefined) throw new Error(`the ${id} scale has no wire profile`);
  const { createSerialLink } = await import('../../link/serialLink.ts');
  const { delayOf, openPort } = await import('../../link/openPort.ts');
  const delayMs = delayOf(port);
  return createSerialLink({
    scale: id,
    path: port,
    profile,
    openPort,
    clock,
    ...(delayMs === undefined ? {} : { delayMs }),
    ...(named?.kind === 'serial' ? { seat: desk.seat({ scale: id, path: port, adapter, profile }) } : {}),
  });
}
