/** Where things stand in a YAML text, so that an error can point at them. */
import { type Document, isAlias, isMap, isScalar, isSeq, type LineCounter, type Node, type Pair } from 'yaml';

/** A place in a text file; both counted from 1. */
export interface Place {
  readonly line: number;
  readonly column: number;
}

/** Keys and list positions from the top of a document to a value: `['scales', 'bench', 'd']`. */
export type YamlPath = readonly PropertyKey[];

/** What a path leads to: its value, or, where that is missing, the nearest thing above it. */
export interface Found {
  readonly place: Place;
  /** The value's node; undefined when the path leads to nothing. */
  readonly node: Node | undefined;
}

/** A path as people read it: `phases[2].work[0].share`. */
export function printPath(path: YamlPath): string {
  return path.reduce<string>((text, part) => {
    if (typeof part === 'number') return `${text}[${part + 1}]`;
    return text === '' ? String(part) : `${text}.${String(part)}`;
  }, '');
}

/** The place of an offset into the text. */
export function placeAt(counter: LineCounter, offset: number): Place {
  const { line, col } = counter.linePos(offset);
  return { line: Math.max(line, 1), column: Math.max(col, 1) };
}

function start(node: unknown): number | undefined {
  return (node as Node | undefined)?.range?.[0];
}

function pairOf(node: unknown, key: PropertyKey): Pair | undefined {
  if (!isMap(node)) return undefined;
  // The last of doubled keys is the one whose value counts.
  return node.items.findLast((pair) => String(isScalar(pair.key) ? pair.key.value : pair.key) === String(key));
}

/**
 * Follows a path through a document. A missing value is placed at the key of the nearest thing above that is there.
 */
export function follow(document: Document.Parsed, counter: LineCounter, path: YamlPath): Found {
  let node: unknown = document.contents;
  let offset = start(node) ?? 0;
  for (const part of path) {
    if (isAlias(node)) node = node.resolve(document);
    if (isSeq(node)) {
      const item = node.items[Number(part)];
      if (item === undefined) return { place: placeAt(counter, offset), node: undefined };
      node = item;
      offset = start(node) ?? offset;
      continue;
    }
    const pair = pairOf(node, part);
    if (!pair) return { place: placeAt(counter, offset), node: undefined };
    const keyAt = start(pair.key) ?? offset;
    node = pair.value;
    // A mapping or list starts on the line below its key; the key is where people look.
    offset = isMap(node) || isSeq(node) ? keyAt : (start(node) ?? keyAt);
  }
  return { place: placeAt(counter, offset), node: node as Node };
}

/** The place of a key itself, for a key that should not be there. */
export function placeOfKey(document: Document.Parsed, counter: LineCounter, path: YamlPath, key: string): Place {
  const { node, place } = follow(document, counter, path);
  const at = start(pairOf(isAlias(node) ? node.resolve(document) : node, key)?.key);
  return at === undefined ? place : placeAt(counter, at);
}
