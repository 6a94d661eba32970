/**
 * The shared history in a PostgreSQL database: every fact of every bench, as the bench's own log has it. The database
 * itself holds the rules: a bench's role can only append its own facts, in order, each with the hash that follows from the
 * one before; nobody changes or removes one.
 */

/** Raised whenever an older bismar could misread or damage what a newer one keeps there. */
export const SHARED_VERSION = 1;

/** What the database says when it refuses a fact (SQLSTATE). */
export const REFUSALS = {
  /** A fact before this one has not arrived. */
  gap: 'BM001',
  /** There is another fact at this place. */
  other: 'BM002',
  /** The hash does not follow from the one before and the fact's text. */
  hash: 'BM003',
  /** Somebody tried to change or remove a fact. */
  change: 'BM004',
} as const;

const VERSION_CHECK = `DO $$
BEGIN
  IF current_setting('server_version_num')::int < 120000 THEN
    RAISE EXCEPTION 'The shared history needs PostgreSQL 12 or newer.';
  END IF;
  IF current_setting('server_encoding') <> 'UTF8' THEN
    RAISE EXCEPTION 'The shared history needs a database with the encoding UTF8.';
  END IF;
  IF to_regclass('bismar.version') IS NOT NULL THEN
    IF (SELECT max(version) FROM bismar.version) > ${SHARED_VERSION} THEN
      RAISE EXCEPTION 'This shared history was made by a newer bismar: nothing was changed.';
    END IF;
  END IF;
END $$;`;

const TABLES = `CREATE SCHEMA IF NOT EXISTS bismar;
CREATE TABLE IF NOT EXISTS bismar.version (version int PRIMARY KEY, since timestamptz NOT NULL DEFAULT now());
INSERT INTO bismar.version (version) VALUES (${SHARED_VERSION}) ON CONFLICT DO NOTHING;
CREATE TABLE IF NOT EXISTS bismar.benches (
  bench uuid PRIMARY KEY,
  role name NOT NULL DEFAULT current_user,
  since timestamptz NOT NULL DEFAULT now()
);
CREATE TABLE IF NOT EXISTS bismar.facts (
  bench uuid NOT NULL REFERENCES bismar.benches,
  seq bigint NOT NULL CHECK (seq >= 1),
  batch text NOT NULL,
  kind text NOT NULL,
  at text NOT NULL,
  "by" text NOT NULL,
  body text NOT NULL,
  hash text NOT NULL CHECK (hash ~ '^[0-9a-f]{64}$'),
  arrived timestamptz NOT NULL DEFAULT now(),
  PRIMARY KEY (bench, seq)
);`;

/** One bench after the other; a fact that is there already passes in silence, so that sending again does no harm. */
const ARRIVAL = `CREATE OR REPLACE FUNCTION bismar.fact_arrives() RETURNS trigger
LANGUAGE plpgsql SET search_path = pg_catalog, pg_temp AS $$
DECLARE
  there text;
  last bigint;
  before text;
BEGIN
  PERFORM pg_advisory_xact_lock(hashtextextended(NEW.bench::text, 0));
  SELECT hash INTO there FROM bismar.facts WHERE bench = NEW.bench AND seq = NEW.seq;
  IF FOUND THEN
    IF there = NEW.hash THEN RETURN NULL; END IF;
    RAISE EXCEPTION 'another fact % of this bench is there', NEW.seq USING ERRCODE = '${REFUSALS.other}';
  END IF;
  SELECT seq, hash INTO last, before FROM bismar.facts WHERE bench = NEW.bench ORDER BY seq DESC LIMIT 1;
  IF NEW.seq <> coalesce(last, 0) + 1 THEN
    RAISE EXCEPTION 'fact % follows on %', NEW.seq, coalesce(last, 0) USING ERRCODE = '${REFUSALS.gap}';
  END IF;
  IF NEW.hash <> encode(sha256(convert_to(coalesce(before, repeat('0', 64)) || E'\\n' || NEW.body, 'UTF8')), 'hex') THEN
    RAISE EXCEPTION 'the hash of fact % does not hold', NEW.seq USING ERRCODE = '${REFUSALS.hash}';
  END IF;
  RETURN NEW;
END $$;
CREATE OR REPLACE FUNCTION bismar.facts_stay() RETURNS trigger
LANGUAGE plpgsql SET search_path = pg_catalog, pg_temp AS $$
BEGIN
  RAISE EXCEPTION 'facts are never changed or removed' USING ERRCODE = '${REFUSALS.change}';
END $$;
DROP TRIGGER IF EXISTS fact_arrives ON bismar.facts;
CREATE TRIGGER fact_arrives BEFORE INSERT ON bismar.facts FOR EACH ROW EXECUTE FUNCTION bismar.fact_arrives();
DROP TRIGGER IF EXISTS facts_stay ON bismar.facts;
CREATE TRIGGER facts_stay BEFORE UPDATE OR DELETE OR TRUNCATE ON bismar.facts
  FOR EACH STATEMENT EXECUTE FUNCTION bismar.facts_stay();
DROP TRIGGER IF EXISTS benches_stay ON bismar.benches;
CREATE TRIGGER benches_stay BEFORE UPDATE OR DELETE OR TRUNCATE ON bismar.benches
  FOR EACH STATEMENT EXECUTE FUNCTION bismar.facts_stay();`;

const RIGHTS = `DO $$ BEGIN
  IF NOT EXISTS (SELECT FROM pg_roles WHERE rolname = 'bismar_bench') THEN CREATE ROLE bismar_bench NOLOGIN; END IF;
END $$;
ALTER TABLE bismar.benches ENABLE ROW LEVEL SECURITY;
ALTER TABLE bismar.benches FORCE ROW LEVEL SECURITY;
ALTER TABLE bismar.facts ENABLE ROW LEVEL SECURITY;
ALTER TABLE bismar.facts FORCE ROW LEVEL SECURITY;
DROP POLICY IF EXISTS all_read ON bismar.benches;
CREATE POLICY all_read ON bismar.benches FOR SELECT USING (true);
DROP POLICY IF EXISTS own_bench ON bismar.benches;
CREATE POLICY own_bench ON bismar.benches FOR INSERT WITH CHECK (role = current_user);
DROP POLICY IF EXISTS all_read ON bismar.facts;
CREATE POLICY all_read ON bismar.facts FOR SELECT USING (true);
DROP POLICY IF EXISTS own_facts ON bismar.facts;
CREATE POLICY own_facts ON bismar.facts FOR INSERT
  WITH CHECK (EXISTS (SELECT FROM bismar.benches b WHERE b.bench = facts.bench AND b.role = current_user));
REVOKE ALL ON ALL TABLES IN SCHEMA bismar FROM PUBLIC, bismar_bench;
GRANT USAGE ON SCHEMA bismar TO bismar_bench;
GRANT SELECT ON bismar.version, bismar.benches, bismar.facts TO bismar_bench;
GRANT INSERT (bench) ON bismar.benches TO bismar_bench;
GRANT INSERT (bench, seq, batch, kind, at, "by", body, hash) ON bismar.facts TO bismar_bench;`;

/**
 * All that makes a database a shared history, to be run by its owner as often as wanted: what is there stays.
 * @param roles one for each bench, as in `HistoryAddress.role`; a role that is there already keeps its password
 */
export function setupSql(roles: readonly string[]): string {
  const each = roles.map(
    (role) => `DO $$ BEGIN
  IF NOT EXISTS (SELECT FROM pg_roles WHERE rolname = '${role}') THEN CREATE ROLE ${role} LOGIN; END IF;
END $$;
GRANT bismar_bench TO ${role};`,
  );
  return [
    '-- Makes this database a shared history of bismar. Run it as its owner, as often as you like.',
    'BEGIN;',
    VERSION_CHECK,
    TABLES,
    ARRIVAL,
    RIGHTS,
    ...each,
    'COMMIT;',
    ...roles.map((role) => `-- Give it a password, in psql: \\password ${role}`),
    '',
  ].join('\n');
}
