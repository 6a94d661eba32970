/**
 * Reads a YAML file that people write by hand. All that is wrong with it is told at once, each problem with its
 * place, what was found there and what was expected.
 */
import { type Document, isMap, isScalar, isSeq, LineCounter, type Node, parseDocument, visit } from 'yaml';
import type { z } from 'zod';
import { cleanText } from '../facts/cleanText.ts';
import { cutToWidth } from '../facts/textWidth.ts';
import { expectation, knownKeys } from './expectation.ts';
import { nearest } from './nearest.ts';
import { follow, type Place, placeAt, placeOfKey, printPath, type YamlPath } from './yamlPlaces.ts';
import { syntaxFault } from './yamlSyntax.ts';

/** One thing wrong in a file. All its text is safe to print. */
export interface Problem {
  readonly file: string;
  /** Counted from 1. */
  readonly line: number;
  /** Counted from 1. */
  readonly column: number;
  /** Where in the file's own words: `scales.bench.d`; empty for the file as a whole. */
  readonly path: string;
  readonly found: string;
  /** Completes the sentence "expected ...". */
  readonly expected: string;
  readonly hint?: string;
}

/** Says a problem at a path; for checks that come after the reading (shares that don't add up). */
export type Complain = (
  path: YamlPath,
  expected: string,
  more?: { found?: string; hint?: string | undefined },
) => Problem;

export type YamlResult<T> =
  | {
      readonly ok: true;
      readonly value: T;
      /** Where a path's value stands; a missing value: the nearest thing above it. */
      readonly at: (path: YamlPath) => Place;
      readonly complain: Complain;
    }
  | { readonly ok: false; readonly problems: readonly Problem[] };

/** The longest file that is read, in characters: some 4 000 lines, more than people write by hand. */
export const LONGEST_FILE = 200_000;
/** The most repeats (`*name`) that a file may ask for; keeps a short file from growing into a huge one. */
const MOST_REPEATS = 100;
const FOUND_WIDTH = 48;

/** Foreign text for a message: cleaned, cut, in backticks. */
export function quoted(text: string, width: number = FOUND_WIDTH): string {
  return `\`${cutToWidth(cleanText(text), width)}\``;
}

function printFound(node: Node | undefined): string {
  if (node === undefined || node === null) return 'nothing';
  if (isMap(node)) return node.items.length === 0 ? 'an empty group of keys' : 'a group of keys';
  if (isSeq(node)) return node.items.length === 0 ? 'an empty list' : `a list of ${node.items.length}`;
  if (!isScalar(node)) return 'something else';
  const text = node.source ?? (node.value === null ? '' : String(node.value));
  return text.trim() === '' ? 'nothing' : quoted(text);
}

function whole(file: string, found: string, expected: string): { ok: false; problems: Problem[] } {
  return { ok: false, problems: [{ file, line: 1, column: 1, path: '', found, expected }] };
}

/** A key that would reach an object's prototype is no name for anything in a workshop. */
function forbiddenKeys(document: Document.Parsed): YamlPath[] {
  const paths: YamlPath[] = [];
  visit(document, {
    Pair(_, pair, above) {
      if (!isScalar(pair.key) || pair.key.value !== '__proto__') return;
      const path = above.flatMap((node) => ('key' in node && isScalar(node.key) ? [String(node.key.value)] : []));
      paths.push([...path, '__proto__']);
    },
  });
  return paths;
}

/** Where several forms are allowed: the faults of the one that was meant, as far as the kind of value tells. */
function formMeant(forms: readonly z.core.$ZodIssue[][]): readonly z.core.$ZodIssue[] | undefined {
  const fitting = forms.filter((faults) => !faults.some((f) => f.code === 'invalid_type' && f.path.length === 0));
  return fitting.length === 1 ? fitting[0] : undefined;
}

function sorted(problems: readonly Problem[]): Problem[] {
  return [...problems].sort((a, b) => a.line - b.line || a.column - b.column);
}

/** The text as a YAML document; undefined when it is made only to nest, where the recursing parser gives up. */
function parsed(text: string, lineCounter: LineCounter, scalars: Scalars): Document.Parsed | undefined {
  try {
    const document = parseDocument(text, {
      lineCounter,
      strict: true,
      uniqueKeys: true,
      stringKeys: true,
      prettyErrors: false,
      schema: scalars === 'text' ? 'failsafe' : 'core',
    });
    return document.errors.some(({ code }) => code === 'RESOURCE_EXHAUSTION') ? undefined : document;
  } catch {
    return undefined;
  }
}

/** How plain words in the file are taken: `typed` makes numbers and true/false of them, `text` leaves all as text. */
export type Scalars = 'typed' | 'text';

/**
 * Reads a YAML text by a schema. Never throws for bad text.
 *
 * A message given to a schema (`z.string('a mass such as ...')`) is used as "what was expected"; so write it to
 * complete the sentence "expected ...". A refinement may carry a hint: `params: { hint }`.
 * @param file the name to show
 * @param scalars `text` keeps `0.10` and `007` as they were written
 */
export function readYaml<T>(
  file: string,
  text: string,
  schema: z.ZodType<T>,
  scalars: Scalars = 'typed',
): YamlResult<T> {
  const name = cleanText(file);
  if (text.length > LONGEST_FILE) {
    return whole(name, `${text.length} characters`, `at most ${LONGEST_FILE} characters`);
  }
  const counter = new LineCounter();
  const document = parsed(text, counter, scalars);
  if (document === undefined) return whole(name, 'nested too deeply', 'a file as people write it');

  const complain: Complain = (path, expected, more = {}) => {
    const { place, node } = follow(document, counter, path);
    return {
      file: name,
      ...place,
      path: cleanText(printPath(path)),
      found: more.found ?? printFound(node),
      expected,
      ...(more.hint === undefined ? {} : { hint: more.hint }),
    };
  };
  const unknownKey = (path: YamlPath, key: string, expected: string, known: readonly string[]): Problem => {
    const near = nearest(key, known);
    return {
      ...complain([...path, key], expected, { found: `the key ${quoted(key)}` }),
      ...placeOfKey(document, counter, path, key),
      ...(near === undefined ? {} : { hint: `did you mean \`${near}\`?` }),
    };
  };

  const syntax = [...document.errors, ...document.warnings];
  const problems: Problem[] = syntax.map((error) => {
    const { offset, line, ...rest } = syntaxFault(text, error);
    return {
      file: name,
      ...placeAt(counter, offset),
      path: '',
      found: line === '' ? 'the end' : quoted(line),
      ...rest,
    };
  });
  for (const path of forbiddenKeys(document)) {
    problems.push(unknownKey(path.slice(0, -1), '__proto__', 'another key', []));
  }
  if (syntax.some((error) => error.code !== 'DUPLICATE_KEY')) return { ok: false, problems: sorted(problems) };

  let plain: unknown;
  try {
    plain = document.toJS({ maxAliasCount: MOST_REPEATS });
  } catch {
    return whole(name, 'too many repeats (`*name`)', 'a file as people write it');
  }
  const known = new Map<string, string[]>();
  const checked = schema.safeParse(plain, {
    error: (issue) => {
      if (issue.code === 'unrecognized_keys') known.set(printPath(issue.path ?? []), knownKeys(issue.inst));
      return expectation(issue);
    },
  });
  const tell = (issue: z.core.$ZodIssue, above: YamlPath = []) => {
    const path = [...above, ...issue.path];
    if (issue.code === 'unrecognized_keys') {
      const keys = known.get(printPath(issue.path)) ?? [];
      for (const key of issue.keys) problems.push(unknownKey(path, key, issue.message, keys));
    } else if (issue.code === 'invalid_key') {
      const expected = issue.issues[0]?.message ?? issue.message;
      problems.push(unknownKey(path.slice(0, -1), String(path.at(-1)), expected, []));
    } else if (issue.code === 'invalid_union') {
      const meant = formMeant(issue.errors);
      if (meant) for (const inner of meant) tell(inner, path);
      else problems.push(complain(path, issue.message));
    } else {
      const hint = issue.code === 'custom' ? issue.params?.hint : undefined;
      problems.push(complain(path, issue.message, typeof hint === 'string' ? { hint } : {}));
    }
  };
  for (const issue of checked.error?.issues ?? []) tell(issue);
  if (!checked.success || problems.length > 0) return { ok: false, problems: sorted(problems) };
  return { ok: true, value: checked.data, at: (path) => follow(document, counter, path).place, complain };
}

const MOST_PRINTED = 40;

/**
 * Problems as text, in the order of their places: the place first, so that editors and people find it.
 * ```
 * workshop.yaml:12:8  scales.bench.d
 *     found `0.3 g`, expected 1, 2 or 5 times a power of ten, such as `0.1 g`
 * ```
 */
export function printProblems(problems: readonly Problem[]): string {
  const lines = sorted(problems)
    .slice(0, MOST_PRINTED)
    .flatMap(({ file, line, column, path, found, expected, hint }) => [
      `${file}:${line}:${column}${path === '' ? '' : `  ${path}`}`,
      `    found ${found}, expected ${expected}${hint === undefined ? '' : ` (${hint})`}`,
    ]);
  if (problems.length > MOST_PRINTED) lines.push(`... and ${problems.length - MOST_PRINTED} more`);
  return lines.join('\n');
}
