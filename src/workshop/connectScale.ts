/** Puts a port and a wire profile into the text of `workshop.yaml`, and leaves every other character as it is. */
import { isMap, isScalar, type Pair, parseDocument } from 'yaml';

interface Edit {
  readonly from: number;
  readonly to: number;
  readonly text: string;
}

/**
 * A scale that was typed in (`keyed: yes`) keeps that line as a comment.
 * @param scale id of a scale in the file
 * @returns the new text; undefined when the file is written in a way that is better changed by hand. Read it back with
 *   `readWorkshop` before it is kept.
 */
export function connectScale(text: string, scale: string, port: string, profile: string): string | undefined {
  const node = parseDocument(text).getIn(['scales', scale], true);
  if (!isMap(node)) return undefined;
  const first = startOf(node.items[0]?.key);
  // A pinned adapter belongs to the old port.
  if (first === undefined || node.has('adapter')) return undefined;
  const lineStart = text.lastIndexOf('\n', first - 1) + 1;
  const indent = text.slice(lineStart, first);
  const isBlock = node.flow !== true;
  if (isBlock && !/^ +$/.test(indent)) return undefined;
  const newLine = text.includes('\r\n') ? '\r\n' : '\n';
  const between = isBlock ? newLine + indent : ', ';

  const wanted = new Map([
    ['port', JSON.stringify(port)],
    ['profile', profile],
  ]);
  const edits: Edit[] = [];
  for (const [key, value] of wanted) {
    const pair = pairOf(node.items, key);
    if (!pair) continue;
    const place = isScalar(pair.value) ? pair.value.range : undefined;
    if (!place) return undefined;
    edits.push({ from: place[0], to: place[1], text: value });
    wanted.delete(key);
  }
  const added = [...wanted].map(([key, value]) => `${key}: ${value}`);
  const keyed = pairOf(node.items, 'keyed');
  if (keyed) {
    const from = startOf(keyed.key);
    const to = isScalar(keyed.value) ? keyed.value.range?.[1] : undefined;
    if (from === undefined || to === undefined) return undefined;
    if (isBlock) added.push(`# ${text.slice(from, to)}`);
    edits.push({ from, to, text: added.join(between) });
  } else if (added.length > 0) {
    edits.push({ from: first, to: first, text: `${added.join(between)}${between}` });
  }
  return edits
    .sort((a, b) => b.from - a.from)
    .reduce((all, { from, to, text: put }) => all.slice(0, from) + put + all.slice(to), text);
}

function pairOf(items: readonly Pair[], key: string): Pair | undefined {
  return items.find((pair) => isScalar(pair.key) && pair.key.value === key);
}

function startOf(node: unknown): number | undefined {
  return isScalar(node) ? node.range?.[0] : undefined;
}
