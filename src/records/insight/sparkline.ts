/** A row of numbers as small columns in one line of text. */

const STEPS = ['\u2581', '\u2582', '\u2583', '\u2584', '\u2585', '\u2586', '\u2587', '\u2588'];

/**
 * The last values as columns, the smallest lowest and the largest highest; all alike stand in the middle.
 * @param most columns
 */
export function sparkline(values: readonly number[], most = 16): string {
  const shown = values.slice(-most);
  const least = Math.min(...shown);
  const range = Math.max(...shown) - least;
  return shown
    .map((value) => STEPS[range === 0 ? 3 : Math.round(((value - least) / range) * (STEPS.length - 1))])
    .join('');
}
