/**
 * The language of patterns: a part of regular expressions that can't be made to run away. A pattern is read into a
 * tree, which `patternCost.ts` then tries out.
 */

export type Node =
  | { readonly kind: 'char'; readonly fits: readonly boolean[] }
  | { readonly kind: 'edge'; readonly at: 'start' | 'end' }
  | { readonly kind: 'sequence'; readonly parts: readonly Node[] }
  | { readonly kind: 'either'; readonly options: readonly Node[] }
  | { readonly kind: 'repeat'; readonly of: Node; readonly least: number; readonly most: number }
  | { readonly kind: 'look'; readonly of: Node };

/** The longest pattern that is read. */
const LONGEST_PATTERN = 600;
/** More repeats than lines have characters are no different from any number. */
export const MOST_REPEATS = 200;

class NotAllowed extends Error {}

/** @returns the tree, or what is not allowed: completes the sentence "expected ..." */
export function readPattern(text: string): Node | string {
  if (text.length > LONGEST_PATTERN) return `a pattern of at most ${LONGEST_PATTERN} characters`;
  try {
    return parse(text);
  } catch (error) {
    if (error instanceof NotAllowed) return error.message;
    throw error;
  }
}

const REPEAT = /[*+?]|\{(\d{1,4})(?:(,)(\d{0,4}))?\}/y;
const CLASS = /\[\^?\]?(?:\\.|[^\]\\])*\]/y;
const ESCAPED = /\\(?:x[0-9a-fA-F]{2}|u[0-9a-fA-F]{4}|[^1-9kpPcbB])/y;

function parse(text: string): Node {
  let place = 0;
  const take = (token: RegExp): RegExpExecArray | undefined => {
    token.lastIndex = place;
    const found = token.exec(text) ?? undefined;
    if (found) place += found[0].length;
    return found;
  };

  const either = (depth: number): Node => {
    if (depth > 20) throw new NotAllowed('groups nested less deeply');
    const options = [sequence(depth)];
    while (text[place] === '|') {
      place += 1;
      options.push(sequence(depth));
    }
    const [only] = options;
    return options.length === 1 && only ? only : { kind: 'either', options };
  };

  const sequence = (depth: number): Node => {
    const parts: Node[] = [];
    while (place < text.length && text[place] !== '|' && text[place] !== ')') parts.push(repeated(depth));
    return { kind: 'sequence', parts };
  };

  const repeated = (depth: number): Node => {
    const of = one(depth);
    const found = take(REPEAT);
    if (!found) return of;
    if (text[place] === '?') place += 1; // as few as possible: the same lines fit
    const [sign, low, comma, high] = found;
    const least = sign === '*' || sign === '?' ? 0 : sign === '+' ? 1 : Number(low);
    const most =
      sign === '?' ? 1 : low === undefined || (comma !== undefined && !high) ? MOST_REPEATS : Number(high ?? low);
    if (Math.max(least, most) > MOST_REPEATS) throw new NotAllowed(`at most ${MOST_REPEATS} repeats`);
    if (most > 1 && !isPlain(of)) {
      throw new NotAllowed(
        `no repeat and no choice inside a repeated group (\`${text.slice(Math.max(0, place - 20), place)}\`): a line could keep such a pattern busy for ever`,
      );
    }
    return { kind: 'repeat', of, least, most };
  };

  const one = (depth: number): Node => {
    const at = text[place];
    if (at === '(') return group(depth);
    if (at === '^' || at === '$') {
      place += 1;
      return { kind: 'edge', at: at === '^' ? 'start' : 'end' };
    }
    const source = (take(CLASS) ?? take(ESCAPED))?.[0];
    if (source !== undefined) return { kind: 'char', fits: fitting(new RegExp(`^${source}$`, 'u')) };
    if (at === '\\') throw new NotAllowed(`no \`${text.slice(place, place + 2)}\` in a pattern`);
    place += 1;
    const fits = at === '.' ? /^.$/u : new RegExp(`^${/\w| /.test(at ?? '') ? at : `[${at === ']' ? '\\]' : at}]`}$`);
    return { kind: 'char', fits: fitting(fits) };
  };

  const group = (depth: number): Node => {
    const opened = take(/\((?:\?(?::|<?[=!]|<[A-Za-z]\w*>))?/y)?.[0] ?? '(';
    if (text[place] === '?') throw new NotAllowed(`no group of the kind \`${text.slice(place - 1, place + 2)}\``);
    const of = either(depth + 1);
    place += 1; // the closing one is there: the pattern was compiled before
    if (!/^\(\?<?[=!]/.test(opened)) return of;
    return { kind: 'look', of };
  };

  return either(0);
}

/** Which characters of Latin-1 fit, by their code: lines from a wire have no others. */
function fitting(one: RegExp): boolean[] {
  return Array.from({ length: 256 }, (_, code) => one.test(String.fromCharCode(code)));
}

/** Whether a text fits in one way only: nothing to choose, nothing to repeat. */
function isPlain(node: Node): boolean {
  switch (node.kind) {
    case 'char':
    case 'edge':
      return true;
    case 'sequence':
      return node.parts.every(isPlain);
    case 'repeat':
      return node.least === node.most && isPlain(node.of);
    default:
      return false;
  }
}
