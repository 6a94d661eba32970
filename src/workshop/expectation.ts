/** What a schema expected, in plain words. A schema's own message always wins over these. */
import type { z } from 'zod';

const KINDS: Readonly<Record<string, string>> = {
  string: 'text',
  number: 'a number',
  int: 'a whole number',
  boolean: '`true` or `false`',
  array: 'a list',
  object: 'a group of keys',
  record: 'a group of keys',
  map: 'a group of keys',
  null: 'nothing',
};

function listed(values: readonly unknown[]): string {
  return values.map((value) => `\`${String(value)}\``).join(', ');
}

/** The keys that an object schema knows; none when the issue comes from something else. */
export function knownKeys(schema: unknown): string[] {
  const shape = (schema as { _zod?: { def?: { shape?: unknown } } } | undefined)?._zod?.def?.shape;
  return typeof shape === 'object' && shape !== null ? Object.keys(shape) : [];
}

function counted(issue: { origin: string; inclusive?: boolean | undefined }, limit: unknown, most: boolean): string {
  const bound = issue.inclusive === false ? (most ? 'less than' : 'more than') : most ? 'at most' : 'at least';
  switch (issue.origin) {
    case 'string':
      return limit === 1 && !most ? 'some text' : `${bound} ${String(limit)} characters`;
    case 'array':
    case 'set':
    case 'map':
      return limit === 1 && !most ? 'at least one entry' : `${bound} ${String(limit)} entries`;
    default:
      return `a number of ${bound} ${String(limit)}`;
  }
}

/** Says what one of the schema library's issues expected; handed to it as its error map. */
export function expectation(issue: z.core.$ZodRawIssue): string {
  switch (issue.code) {
    case 'invalid_type':
      return KINDS[issue.expected] ?? `a value of the kind \`${issue.expected}\``;
    case 'invalid_value':
      return issue.values.length === 1 ? listed(issue.values) : `one of ${listed(issue.values)}`;
    case 'too_small':
      return counted(issue, issue.minimum, false);
    case 'too_big':
      return counted(issue, issue.maximum, true);
    case 'not_multiple_of':
      return `a multiple of ${issue.divisor}`;
    case 'unrecognized_keys': {
      const known = knownKeys(issue.inst);
      return known.length === 0 ? 'no such key' : `one of the keys ${listed(known)}`;
    }
    case 'invalid_format':
      return issue.format === 'regex'
        ? `text of the form ${issue.pattern ?? ''}`.trim()
        : `text of the form of ${issue.format}`;
    case 'invalid_key':
      return 'another key';
    case 'invalid_union':
      return 'one of the allowed forms';
    default:
      return 'something else';
  }
}
