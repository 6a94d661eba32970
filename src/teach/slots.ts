/** Texts that differ a little -> what is the same in all of them, and the slots in which they differ. */

export type TextPart =
  | { readonly kind: 'same'; readonly text: string }
  /** Blanks, more or fewer. */
  | { readonly kind: 'blanks'; readonly least: number }
  /** `alternatives[i]` is what the i-th text has here. */
  | { readonly kind: 'slot'; readonly alternatives: readonly string[] };

/** More different texts than this are no words. */
export const MOST_ALTERNATIVES = 10;

/** @param texts all different; @returns undefined when they differ in too many ways */
export function findSlots(texts: readonly string[]): readonly TextPart[] | undefined {
  if (texts.length > 3 * MOST_ALTERNATIVES) return undefined;
  const [first = ''] = texts;
  const parts =
    texts.length === 1
      ? sameOnly(first)
      : texts.every(({ length }) => length === first.length)
        ? byColumn(texts)
        : byWord(texts);
  const split = parts.flatMap((part) => (part.kind === 'slot' ? independent(part.alternatives) : [part]));
  const isTooMuch = split.some((part) => part.kind === 'slot' && new Set(part.alternatives).size > MOST_ALTERNATIVES);
  return isTooMuch ? undefined : split;
}

function sameOnly(text: string): TextPart[] {
  return text === '' ? [] : [{ kind: 'same', text }];
}

const isLetter = (char: string | undefined): boolean => char !== undefined && /[A-Za-z]/.test(char);

/** Texts of one length: columns that differ, together with the rest of their words. */
function byColumn(texts: readonly string[]): TextPart[] {
  const length = texts[0]?.length ?? 0;
  const differs = Array.from({ length }, (_, column) => texts.some((text) => text[column] !== texts[0]?.[column]));
  for (let isChanging = true; isChanging; ) {
    isChanging = false;
    for (let column = 1; column < length; column++) {
      const isOneWord = texts.some((text) => isLetter(text[column - 1]) && isLetter(text[column]));
      if (!isOneWord || differs[column] === differs[column - 1]) continue;
      differs[column] = differs[column - 1] = true;
      isChanging = true;
    }
  }
  const parts: TextPart[] = [];
  for (let from = 0; from < length; ) {
    let to = from + 1;
    while (to < length && differs[to] === differs[from]) to += 1;
    const cut = texts.map((text) => text.slice(from, to));
    parts.push(differs[from] ? { kind: 'slot', alternatives: cut } : { kind: 'same', text: cut[0] ?? '' });
    from = to;
  }
  return parts;
}

/** Texts of different lengths: word by word where they have equally many, else all that lies between what is common. */
function byWord(texts: readonly string[]): TextPart[] {
  const words = texts.map((text) => text.match(/[A-Za-z]+| +|[^A-Za-z ]/g) ?? []);
  const count = words[0]?.length ?? 0;
  if (words.every(({ length }) => length === count)) {
    return merged(Array.from({ length: count }, (_, place) => onePart(words.map((each) => each[place] ?? ''))));
  }
  const fewest = Math.min(...words.map(({ length }) => length));
  let head = 0;
  while (head < fewest && words.every((each) => each[head] === words[0]?.[head])) head += 1;
  let tail = 0;
  while (tail < fewest - head && words.every((each) => each.at(-1 - tail) === words[0]?.at(-1 - tail))) tail += 1;
  const join = (each: readonly string[]): string => each.join('');
  return [
    ...sameOnly(join(words[0]?.slice(0, head) ?? [])),
    { kind: 'slot', alternatives: words.map((each) => join(each.slice(head, each.length - tail))) },
    ...sameOnly(join(words[0]?.slice(count - tail) ?? [])),
  ];
}

function onePart(alternatives: readonly string[]): TextPart {
  const [first = ''] = alternatives;
  if (alternatives.every((each) => each === first)) return { kind: 'same', text: first };
  if (alternatives.every((each) => /^ +$/.test(each)))
    return { kind: 'blanks', least: Math.min(...alternatives.map(({ length }) => length)) };
  return { kind: 'slot', alternatives };
}

function merged(parts: readonly TextPart[]): TextPart[] {
  const out: TextPart[] = [];
  for (const part of parts) {
    const last = out.at(-1);
    if (part.kind === 'same' && last?.kind === 'same')
      out[out.length - 1] = { kind: 'same', text: last.text + part.text };
    else out.push(part);
  }
  return out;
}

/**
 * Two words side by side that change each for itself: what comes before a cut and what comes after it are mixed.
 * `   YO`, `     `, `midYO` are `   ` or `mid`, then `YO` or a blank.
 */
function independent(alternatives: readonly string[]): TextPart[] {
  const different = [...new Set(alternatives)];
  for (const cut of cuts(different)) {
    const pairs = different.map((text) => [text.slice(0, cut(text)), text.slice(cut(text))] as const);
    const heads = new Set(pairs.map(([head]) => head));
    const tails = new Set(pairs.map(([, tail]) => tail));
    const isMixed = heads.size > 1 && tails.size > 1 && heads.size + tails.size <= different.length + 1;
    const isShared = heads.size < different.length && tails.size < different.length;
    if (!isMixed || !isShared) continue;
    return [
      alternatives.map((text) => text.slice(0, cut(text))),
      alternatives.map((text) => text.slice(cut(text))),
    ].flatMap(independent);
  }
  return [{ kind: 'slot', alternatives }];
}

/** Where texts may be cut: at one column, or before the last or after the first word. */
function cuts(texts: readonly string[]): ((text: string) => number)[] {
  const length = texts[0]?.length ?? 0;
  if (texts.every((text) => text.length === length))
    return Array.from({ length: Math.max(0, length - 1) }, (_, column) => () => column + 1);
  return [
    (text) => text.length - (/(?:[A-Za-z]+|[^A-Za-z ])$/.exec(text)?.[0].length ?? 0),
    (text) => /^(?:[A-Za-z]+|[^A-Za-z ])/.exec(text)?.[0].length ?? 0,
  ];
}
