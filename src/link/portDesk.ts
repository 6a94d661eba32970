/**
 * Keeps in mind which scale of a workshop hangs on which adapter, so that each finds its own port again and none takes
 * another's. One desk for all scales of a run; nothing is kept on the disk.
 */
import { decode } from '../wire/decode.ts';
import type { Profile } from '../wire/profile.ts';
import type { ListedPort, PortList } from './listPorts.ts';
import { type KnownPort, portKey, whereabouts } from './whereabouts.ts';

export interface PortDeskSettings {
  readonly list: () => Promise<PortList>;
  /** Where a symbolic link leads; rejects when nothing is there. */
  readonly realPath: (path: string) => Promise<string>;
}

export interface SeatSettings {
  readonly scale: string;
  readonly path: string;
  /** Serial number of the adapter that it must be. */
  readonly adapter: string | undefined;
  readonly profile: Profile;
}

/** What to open now, or why nothing. */
export type Where =
  | { readonly kind: 'there' | 'perhaps'; readonly path: string; readonly say: string | undefined }
  | { readonly kind: 'nowhere'; readonly say: string };

/** One scale's place at the desk. */
export interface PortSeat {
  /** Never rejects. */
  where(): Promise<Where>;
  /** This path is open now, to be tried. */
  trying(path: string): void;
  /** The port that is open now is the scale's own. */
  settled(): void;
  left(): void;
  /** A sentence when the line might come from another scale of the workshop that is gone, too. */
  notOnlyMine(line: string): string | undefined;
}

export interface PortDesk {
  seat(settings: SeatSettings): PortSeat;
}

interface Memory extends KnownPort {
  readonly profile: Profile;
}

export function createPortDesk({ list, realPath }: PortDeskSettings): PortDesk {
  const seats = new Map<string, Memory>();
  const real = (path: string): Promise<string> => realPath(path).catch(() => path);

  return {
    seat({ scale, path: configured, adapter: pinned, profile }) {
      let memory: Memory = {
        scale,
        path: configured,
        pinned,
        adapter: undefined,
        before: undefined,
        isOpen: false,
        holds: undefined,
        profile,
      };
      /** The path as it was typed: a link such as /dev/serial/by-id/... leads to the right port by itself. */
      let typed = configured;
      let wasOpen = false;
      let tries = 0;
      const know = (news: Partial<Memory>): void => {
        memory = { ...memory, ...news };
        seats.set(scale, memory);
      };
      const others = (): Memory[] => [...seats.values()].filter((other) => other.scale !== scale);
      know({});

      /** Looks at the port while the scale is certainly there. */
      const remember = async (): Promise<void> => {
        const [{ ports, say }, path] = await Promise.all([list(), real(typed)]);
        if (!memory.isOpen || memory.holds !== typed || say !== undefined) return;
        const here = ports.find((port) => port.path === path);
        know({ path, adapter: here && hasName(here) ? here : undefined, before: new Set(ports.map(portKey)) });
      };

      return {
        async where() {
          if (pinned === undefined && memory.before === undefined)
            return { kind: 'there', path: typed, say: undefined };
          const [{ ports, say: trouble }, path] = await Promise.all([list(), real(typed)]);
          if (trouble !== undefined) {
            if (pinned === undefined) return { kind: 'there', path: typed, say: undefined };
            const say = `The ${scale} scale must be on the adapter "${pinned}". ${trouble} To go by the port's name, take the line "adapter" out of workshop.yaml.`;
            return { kind: 'nowhere', say };
          }
          const found = whereabouts({ ...memory, path }, ports, others());
          if (found.kind === 'nowhere') return found;
          if (found.kind === 'there') {
            if (found.path === path) return { kind: 'there', path: typed, say: found.say };
            const say = found.say ?? `The ${scale} scale is ${wasOpen ? 'back ' : ''}on ${found.path}.`;
            return { kind: 'there', path: found.path, say };
          }
          const next = found.paths[tries % found.paths.length] ?? typed;
          tries += 1;
          return { kind: 'perhaps', path: next, say: `The ${scale} scale is back on ${next}.` };
        },
        trying(path) {
          know({ holds: path });
        },
        settled() {
          typed = memory.holds ?? typed;
          wasOpen = true;
          know({ isOpen: true });
          void remember();
        },
        left() {
          know({ isOpen: false, holds: undefined });
        },
        notOnlyMine(line) {
          const rivals = others().filter((other) => !other.isOpen && decode(other.profile, line, 0).kind !== 'refused');
          if (rivals.length === 0) return undefined;
          const names = [scale, ...rivals.map((other) => other.scale)].join(' or the ');
          return `A scale is back on ${memory.holds}, but it may be the ${names} scale: they speak alike, and their adapters can't be told apart. What is recorded is safe. Plug them in as they were before; or leave, write the new ports into workshop.yaml, and go on with "bismar resume".`;
        },
      };
    },
  };
}

function hasName({ vendorId, serialNumber }: ListedPort): boolean {
  return vendorId !== undefined || serialNumber !== undefined;
}
