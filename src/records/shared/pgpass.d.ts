declare module 'pgpass' {
  /** Calls back with the password that the passfile has for this connection; undefined when it has none. */
  export default function pgpass(
    connection: {
      readonly host: string;
      readonly port: number;
      readonly database: string;
      readonly user: string;
    },
    back: (password: string | undefined) => void,
  ): void;
}
