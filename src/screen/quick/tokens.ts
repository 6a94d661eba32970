/**
 * Ink takes each line apart into cells, for each frame anew. The build puts this in the place of `@alcalzone/ansi-tokenize`:
 * lines of ASCII, box lines and block elements with styles, of which a screen is made, are cut without a search for
 * characters that join, and lines that stay the same are cut once. All else goes the library's own way.
 */
import {
  styledCharsFromTokens as styledByLibrary,
  type Token,
  tokenize as tokenizeByLibrary,
} from '@alcalzone/ansi-tokenize';
import { isPlainCell } from './width.ts';

export * from '@alcalzone/ansi-tokenize';

type StyledChars = ReturnType<typeof styledByLibrary>;

const ESCAPE = 0x1b;
const LINE_FEED = 0x0a;
const STYLE = /\x1b\[[\d;]*m/y;
/** So many lines are kept; then all are forgotten. */
const MOST_KEPT = 500;
const LONGEST_KEPT = 2000;

const tokensOf = new Map<string, Token[]>();
const cellsOf = new WeakMap<Token[], StyledChars>();
const ofStyle = new Map<string, readonly Token[]>();
/** By character code. */
const ofCell: (Token | undefined)[] = [];

/** The same tokens as the library's. They are shared: whoever gets them changes none. */
export function tokenize(text: string, endChar = Number.POSITIVE_INFINITY): Token[] {
  if (endChar !== Number.POSITIVE_INFINITY || text.length > LONGEST_KEPT) return tokenizeByLibrary(text, endChar);
  const known = tokensOf.get(text);
  if (known) return known;
  const tokens = quickTokens(text) ?? tokenizeByLibrary(text);
  if (tokensOf.size >= MOST_KEPT) tokensOf.clear();
  tokensOf.set(text, tokens);
  return tokens;
}

/** Undefined where the text holds anything else than plain cells and styles. */
function quickTokens(text: string): Token[] | undefined {
  const tokens: Token[] = [];
  for (let at = 0; at < text.length; at++) {
    const code = text.charCodeAt(at);
    if (code === ESCAPE) {
      STYLE.lastIndex = at;
      const style = STYLE.exec(text)?.[0];
      if (style === undefined) return undefined;
      tokens.push(...tokensOfStyle(style));
      at += style.length - 1;
    } else if (code === LINE_FEED || isPlainCell(code)) {
      ofCell[code] ??= tokenizeByLibrary(String.fromCharCode(code))[0];
      const cell = ofCell[code];
      if (!cell) return undefined;
      tokens.push(cell);
    } else return undefined;
  }
  return tokens;
}

function tokensOfStyle(style: string): readonly Token[] {
  const known = ofStyle.get(style);
  if (known) return known;
  if (ofStyle.size >= MOST_KEPT) ofStyle.clear();
  const tokens = tokenizeByLibrary(style);
  ofStyle.set(style, tokens);
  return tokens;
}

/** The same cells as the library's. They are shared: whoever gets them changes none. */
export function styledCharsFromTokens(tokens: Token[]): StyledChars {
  const known = cellsOf.get(tokens);
  if (known) return known;
  const cells = styledByLibrary(tokens);
  cellsOf.set(tokens, cells);
  return cells;
}
