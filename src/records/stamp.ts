/** Times as the log writes them. */

/**
 * ISO 8601 with the local offset and milliseconds, e.g. `2026-11-25T10:00:23.120+01:00`: it names the instant exactly
 * and shows the time that the maker's clock showed.
 * @param offsetMinutes local time minus UTC at that instant; by default the machine's own
 * @throws RangeError for a date that is none, or outside the years 0000 to 9999
 */
export function stamp(date: Date, offsetMinutes: number = -date.getTimezoneOffset()): string {
  const offset = Math.round(offsetMinutes);
  const local = new Date(date.getTime() + offset * 60_000).toISOString();
  if (local.length !== 24) throw new RangeError(`the clock shows no usable date: ${local}`);
  const size = Math.abs(offset);
  const two = (count: number) => String(count).padStart(2, '0');
  return `${local.slice(0, -1)}${offset < 0 ? '-' : '+'}${two(Math.floor(size / 60))}:${two(size % 60)}`;
}
