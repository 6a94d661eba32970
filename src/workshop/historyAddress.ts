/**
 * The `shared history` of a workshop: the address of a PostgreSQL database, and the role that this bench has there. Never a
 * password: a workshop's folder is copied, backed up and shown.
 */

export interface HistoryAddress {
  /** The bench's own role in the database; also its name for people. */
  readonly role: string;
  /** A name or address, or the folder of a local server's socket. */
  readonly host: string;
  readonly port: number;
  readonly database: string;
  /** Encrypted, and the server must show a certificate for its name. */
  readonly encrypted: boolean;
  /** File of the authority that has signed the server's certificate; undefined: those that the system trusts. */
  readonly authority: string | undefined;
}

export type AddressRead =
  | { readonly ok: true; readonly address: HistoryAddress }
  /** What is expected instead, to complete "expected ...". */
  | { readonly ok: false; readonly expected: string };

const USUAL_PORT = 5432;
const EXAMPLE = '`postgres://wet_room@shop-server/workshop`';
const KNOWN = ['sslmode', 'sslrootcert'];
/** Plain names, so that none has to be quoted anywhere. */
export const ROLE = /^[a-z_][a-z0-9_]{0,62}$/;

/**
 * Reads `postgres://ROLE@HOST[:PORT]/DATABASE`. HOST may be the folder of a local socket, with `%2F` for each slash. What
 * goes further than this machine is encrypted, unless `?sslmode=disable` says that its network is trusted;
 * `?sslrootcert=FILE` names an authority of one's own.
 */
export function readHistoryAddress(text: string): AddressRead {
  const no = (expected: string): AddressRead => ({ ok: false, expected });
  if (!/^postgres(ql)?:\/\//.test(text) || !URL.canParse(text)) return no(`an address such as ${EXAMPLE}`);
  const url = new URL(text);
  const { hostname, searchParams } = url;
  if (url.password !== '') {
    return no(`an address without the password, which belongs into PGPASSWORD or the passfile, such as ${EXAMPLE}`);
  }
  if (!ROLE.test(url.username))
    return no(`this bench's role (small letters, digits, _) before an @, such as ${EXAMPLE}`);
  let host: string;
  let database: string;
  try {
    host = decodeURIComponent(hostname).replace(/^\[|\]$/g, '');
    database = decodeURIComponent(url.pathname.slice(1));
  } catch {
    return no(`an address such as ${EXAMPLE}`);
  }
  if (host === '') return no(`the server's name behind the @, such as ${EXAMPLE}`);
  if (!/^[^/\x00-\x1f]{1,63}$/.test(database)) return no(`the database's name at the end, such as ${EXAMPLE}`);
  const other = [...searchParams.keys()].find((key) => !KNOWN.includes(key));
  const mode = searchParams.get('sslmode') ?? (isHere(host) ? 'disable' : 'verify-full');
  if (other !== undefined || (mode !== 'disable' && mode !== 'verify-full')) {
    return no('nothing behind the ? but sslmode=disable, sslmode=verify-full and sslrootcert=FILE');
  }
  const address: HistoryAddress = {
    role: url.username,
    host,
    port: url.port === '' ? USUAL_PORT : Number(url.port),
    database,
    encrypted: mode === 'verify-full',
    authority: searchParams.get('sslrootcert') ?? undefined,
  };
  return { ok: true, address };
}

/** On this machine: a socket's folder, or the loopback. */
function isHere(host: string): boolean {
  return host.startsWith('/') || host === 'localhost' || host === '::1' || /^127(\.\d{1,3}){3}$/.test(host);
}
