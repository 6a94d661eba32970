/** The guide's table of a wire profile's keys against the schema: all keys, their values, what holds without them. */
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import { z } from 'zod';
import { profileSchema } from '../../src/wire/profileSchema.ts';

/** What these tests read of a JSON schema. */
interface Node {
  readonly properties?: Readonly<Record<string, Node>>;
  readonly items?: Node;
  readonly additionalProperties?: Node | boolean;
  readonly anyOf?: readonly Node[];
  readonly required?: readonly string[];
  readonly enum?: readonly (string | number)[];
  readonly const?: string | number;
  readonly minimum?: number;
  readonly maximum?: number;
  readonly default?: unknown;
}

interface Key {
  readonly path: string;
  readonly needed: boolean;
  readonly node: Node;
}

function keysOf(node: Node, above = ''): Key[] {
  const { properties = {}, required = [] } = node.items ?? node;
  return Object.entries(properties).flatMap(([name, inner]) => {
    const path = above + name;
    return [{ path, needed: required.includes(name), node: inner }, ...keysOf(inner, `${path}.`)];
  });
}

/** Each fixed word or number that may stand there. */
function wordsOf(node: Node): (string | number)[] {
  const values = typeof node.additionalProperties === 'object' ? wordsOf(node.additionalProperties) : [];
  return [...(node.enum ?? []), ...(node.const === undefined ? [] : [node.const]), ...values].concat(
    (node.anyOf ?? []).flatMap(wordsOf),
  );
}

const schema = z.toJSONSchema(profileSchema, { io: 'input', unrepresentable: 'any' }) as Node;
const keys = keysOf(schema);

const guide = readFileSync(fileURLToPath(new URL('../../devices/README.md', import.meta.url)), 'utf8');
const rows = guide.split('\n').flatMap((line) => {
  const [, key = '', says = '', values = '', without = '', example = ''] = line
    .split(/(?<!\\)\|/)
    .map((cell) => cell.trim());
  const path = /^`(.+)`$/.exec(key)?.[1];
  return path === undefined ? [] : [{ path, says, values, without, example: example.slice(1, -1) }];
});

test('every key of the schema has a row, and there are no others', () => {
  expect(keys.length).toBeGreaterThan(30);
  expect(rows.map(({ path }) => path)).toEqual(keys.map(({ path }) => path));
});

describe.each(rows)('the row of $path', ({ path, says, values, without, example }) => {
  const key = keys.find((each) => each.path === path);
  const node = key?.node ?? {};

  test('says what it means, and what holds without it', () => {
    expect(says).toMatch(/^[A-Z].*\.$/);
    expect(without === 'needed').toBe(key?.needed);
    const standard = node.default;
    if (standard !== undefined && typeof standard !== 'object') expect(without).toBe(`\`${standard}\``);
    else expect(without).not.toMatch(/^`/);
  });

  test('names every value', () => {
    const words = wordsOf(node);
    for (const word of words) expect(values).toMatch(new RegExp(`\`${word}\`|as for \`start\``));
    if (words.length > 0) {
      const said = [...values.matchAll(/`([^`]+)`/g)].map(([, word]) => word ?? '');
      expect(said.filter((word) => !words.map(String).includes(word) && word !== 'start')).toEqual([]);
    }
    if (node.maximum !== undefined && node.maximum < 1e9)
      expect(values).toContain(`${node.minimum} to ${node.maximum}`);
  });

  test('has an example that the schema takes', () => {
    const said = parse(example) as Record<string, unknown>;
    const value = said[path.split('.').at(-1) ?? ''];
    expect(Object.keys(said)).toHaveLength(1);
    // Problems may be told of keys that this example leaves out, but of nothing that it says.
    const places = problemsOf(whole(path.split('.'), value));
    expect(places.filter((place) => place === path || place.startsWith(`${path}.`))).toEqual([]);
  });
});

/** A file that holds this value and little else. */
function whole([first = '', ...inner]: readonly string[], value: unknown): Record<string, unknown> {
  if (inner.length === 0) return { [first]: value };
  const held = whole(inner, value);
  return { [first]: first === 'examples' ? [held] : held };
}

/** The keys at which the schema finds something wrong. */
function problemsOf(file: unknown): string[] {
  const found = profileSchema.safeParse(file);
  return (found.error?.issues ?? []).map((issue) =>
    (issue.code === 'unrecognized_keys' ? [...issue.path, ...issue.keys] : issue.path)
      .filter((part) => typeof part === 'string')
      .join('.'),
  );
}
