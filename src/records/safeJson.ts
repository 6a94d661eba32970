/** JSON for a terminal and for other programs alike. */

/** DEL, C1, and characters without width or that turn the direction of reading; JSON leaves them as they are. */
const UNSEEN = /[\x7f-\x9f\u2028\u2029]|\p{Cf}|\p{Default_Ignorable_Code_Point}/gu;

/**
 * JSON text whose hidden characters are written as escapes: a reader gets exactly the same value, and a terminal that
 * shows it can't be steered by it.
 * @param indent spaces per level; 0 for one line
 */
export function safeJson(value: unknown, indent = 0): string {
  return JSON.stringify(value, null, indent).replace(UNSEEN, (hidden) => {
    let escaped = '';
    for (let unit = 0; unit < hidden.length; unit++) {
      escaped += `\\u${hidden.charCodeAt(unit).toString(16).padStart(4, '0')}`;
    }
    return escaped;
  });
}
