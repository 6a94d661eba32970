/** The YAML parser's complaints in plain words. */
import type { YAMLError } from 'yaml';
import { cleanText } from '../facts/cleanText.ts';
import { cutToWidth } from '../facts/textWidth.ts';

const EXPECTED: Readonly<Record<string, string>> = {
  DUPLICATE_KEY: 'each key once',
  TAB_AS_INDENT: 'spaces at the start of the line, not tabs',
  BAD_INDENT: 'lines of one group to start in the same column',
  MULTIPLE_DOCS: 'one document, without a second `---`',
  MISSING_CHAR: 'a closing quote or bracket, or a colon after the key',
  BLOCK_AS_IMPLICIT_KEY: 'one `key: value` a line; text with a colon in it goes in quotes',
  MULTILINE_IMPLICIT_KEY: 'a colon and a space after the key, on the same line',
  NON_STRING_KEY: 'a word as a key',
  BAD_SCALAR_START: 'quotes around text that starts with this character',
  BAD_DQ_ESCAPE: 'a known escape; in single quotes a backslash is itself',
  BAD_ALIAS: 'quotes around text that starts with `*`',
  TAG_RESOLVE_FAILED: 'a plain value, without a `!` tag',
};

function lineAt(text: string, offset: number): string {
  const from = text.lastIndexOf('\n', offset - 1) + 1;
  const to = text.indexOf('\n', offset);
  return text.slice(from, to === -1 ? undefined : to).trim();
}

/** Where the YAML text breaks its own rules, the line as it stands there, and what was expected. */
export function syntaxFault(
  text: string,
  error: YAMLError,
): { offset: number; line: string; expected: string; hint?: string } {
  const [offset] = error.pos;
  const expected = EXPECTED[error.code];
  const line = lineAt(text, offset);
  if (expected !== undefined) return { offset, line, expected };
  return { offset, line, expected: 'valid YAML', hint: cutToWidth(cleanText(error.message), 100) };
}
