/**
 * What the errors of ports mean. The serial library's carry no code, only a sentence; those of a network have their
 * code in it. This is the one place where the sentence is looked at.
 */
export type PortTroubleKind =
  | 'missing'
  | 'permission'
  | 'busy'
  | 'no-serial-port'
  | 'driver'
  | 'refused'
  | 'host-unknown'
  | 'unreachable'
  | 'other';

export interface PortTrouble {
  readonly kind: PortTroubleKind;
  /** For the maker: what happened and what to do. */
  readonly say: string;
}

/** @param platform as `process.platform`; decides which advice fits */
export function portTrouble(error: unknown, path: string, platform: NodeJS.Platform = process.platform): PortTrouble {
  const text = error instanceof Error ? error.message : String(error);
  const kind = KINDS.find(([pattern]) => pattern.test(text))?.[1] ?? 'other';
  return { kind, say: SAY[kind](path, platform, text) };
}

// "Permission denied" before "Access denied": on Windows the latter means that someone else has the port.
const KINDS: readonly (readonly [RegExp, PortTroubleKind])[] = [
  [/Permission denied/i, 'permission'],
  [/Cannot lock port|Resource (temporarily unavailable|busy)|Access (is )?denied/i, 'busy'],
  [/No such file or directory|File not found|No such device|ENXIO|ENODEV/i, 'missing'],
  [/Inappropriate ioctl|Is a directory|Not a typewriter|ENOTTY|not a serial port/i, 'no-serial-port'],
  [/Unknown error code (31|121)\b|Input\/output error/i, 'driver'],
  [/ECONNREFUSED|ECONNRESET/, 'refused'],
  [/ENOTFOUND|EAI_AGAIN|EAI_NONAME/, 'host-unknown'],
  [/ETIMEDOUT|EHOSTUNREACH|ENETUNREACH|EHOSTDOWN|ENETDOWN|EADDRNOTAVAIL/, 'unreachable'],
];

const SAY: Readonly<Record<PortTroubleKind, (path: string, platform: NodeJS.Platform, text: string) => string>> = {
  missing: (path) =>
    `There is no port ${path}: the scale is not plugged in, or its port has another name now. Plug it in; "bismar scale list" shows the ports there are.`,
  permission: (path, platform) =>
    platform === 'linux'
      ? `You may not use the port ${path}. Add yourself to the group that owns it (dialout on Debian and Ubuntu, uucp on Arch and others; "ls -l ${path}" shows it): sudo usermod -a -G dialout $USER; then log out and in again.`
      : `You may not use the port ${path}: ask whoever looks after this computer for the right to use serial ports.`,
  busy: (path) =>
    `The port ${path} is in use by another program, perhaps another bismar. Close that one; this will go on by itself.`,
  'no-serial-port': (path) =>
    `${path} is no serial port. Look at the "port" of this scale in workshop.yaml; "bismar scale list" shows the ports there are.`,
  driver: (path) =>
    `The port ${path} does not answer: its driver is in trouble. Pull out the scale's cable and plug it in again.`,
  refused: (path) =>
    `${path} refuses the connection: another program may have it, or the number at its end is not the one of the network box. Close the other program, or look at the "port" of this scale in workshop.yaml; this will go on by itself.`,
  'host-unknown': (path) =>
    `The network does not know the name in ${path}. Look at the "port" of this scale in workshop.yaml, or write the network box's address there in numbers.`,
  unreachable: (path) =>
    `${path} can't be reached: the network box is off, unplugged or on another network. Look at its power and its cable; this will go on by itself.`,
  other: (path, _platform, text) =>
    `The port ${path} can't be opened: ${text.replace(/^(Error: )+/, '')}. Look at the cable and the port's name.`,
};
