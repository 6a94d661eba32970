/** Who gets how many rows. What matters most is served first; what is left over becomes air and longer lists. */

/** How many rows each part could use. */
export interface Wishes {
  readonly say: number;
  /** Rows of the first of the smaller lines, which stands whole where there is room, and of all of them. */
  readonly firstDetail: number;
  readonly detail: number;
  readonly ask: number;
  readonly choices: number;
  readonly elsewhere: number;
  /** Rows of the first caution, which is always shown whole, and of all of them. */
  readonly firstCaution: number;
  readonly cautions: number;
  readonly lane: number;
  /** Rows of a list in place of the large number; 0: the large number is shown. */
  readonly list: number;
  /** Rows of the same list where its columns are wide enough for whole names. */
  readonly roomyList: number;
  readonly done: number;
  readonly next: number;
  readonly foot: number;
}

/** Blank rows, by the part that they stand before. */
type Gap = 'gapSay' | 'gapBody' | 'gapLane' | 'gapBottom';

export type Rows = Readonly<Record<'say' | 'detail' | 'ask' | 'choices' | 'elsewhere' | 'cautions', number>> &
  Readonly<Record<'lane' | 'body' | 'done' | 'next' | 'foot' | Gap, number>>;

/** The smallest terminal that the whole screen fits. */
export const LEAST_COLUMNS = 80;
export const LEAST_ROWS = 24;

/** Rows of the lane with a thin bar; and with a thick one, where there is room. */
export const LANE_ROWS = 4;
/** The title. */
const FIXED = 1;
const LEAST_BODY = 5;
/** The usual rows of sentence and detail together. */
const HEAD_ROWS = 3;

/**
 * Rows for the large number and the line of small ones above it, on a screen of so many rows. It only depends on the
 * terminal, so that the number never jumps.
 */
export function numberRows(rows: number): number {
  return 8 + Math.max(0, Math.floor((rows - 23) / 2));
}

/** Rows for the work done, above the headline. */
export function doneRows(rows: number): number {
  return rows < 30 ? 1 : 3;
}

/**
 * Shares out the rows of a screen. The sum, with one row for the title, is never more than `rows`.
 * @param rows rows in all, 23 or more
 */
export function shareRows(wishes: Wishes, rows: number): Rows {
  const given = {
    say: 0,
    detail: 0,
    ask: 0,
    choices: 0,
    elsewhere: 0,
    cautions: 0,
    lane: 0,
    body: 0,
    done: 0,
    next: 0,
    foot: 0,
    gapSay: 0,
    gapBody: 0,
    gapLane: 0,
    gapBottom: 0,
  };
  let left = rows - FIXED;
  /** Raises a part to so many rows, as far as there is room; `whole`: all of it or nothing. */
  const raise = (part: keyof typeof given, to: number, whole = false) => {
    const more = to - given[part];
    if (more <= 0 || (whole && more > left)) return;
    const got = Math.min(more, left);
    given[part] += got;
    left -= got;
  };

  const isList = wishes.list > 0;
  raise('say', Math.min(1, wishes.say));
  raise('body', LEAST_BODY);
  raise('ask', wishes.ask, true);
  raise('choices', wishes.choices);
  raise('elsewhere', wishes.elsewhere);
  raise('cautions', wishes.firstCaution);
  raise('lane', Math.min(wishes.lane, LANE_ROWS), true);
  if (!isList) raise('body', numberRows(rows));
  raise('say', wishes.say);
  raise('detail', wishes.firstDetail);
  if (isList) raise('body', wishes.list);
  raise('next', Math.min(1, wishes.next));
  raise('done', Math.min(1, wishes.done));
  raise('detail', wishes.detail);
  raise('foot', wishes.foot);
  // Air, so that headline, number and lane stand at the same rows in every mood unless it is crowded.
  if (!isList) raise('done', doneRows(rows));
  raise('gapSay', 1);
  raise('gapBody', 1 + (isList ? 0 : Math.max(0, HEAD_ROWS - given.say - given.detail)));
  if (given.lane > 0) raise('gapLane', 1);
  raise('gapBottom', 1);
  if (isList) raise('body', wishes.roomyList, true);
  raise('cautions', wishes.cautions);
  if (given.lane > 0) raise('lane', wishes.lane);
  raise('next', wishes.next);
  raise('gapBottom', left + given.gapBottom);
  return given;
}
