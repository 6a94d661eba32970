/** Cleans every text in plain data at once, so that none is forgotten where it is printed. */
import { cleanText } from '../facts/cleanText.ts';

/** The same data with all its texts, and the names of its fields, cleaned. */
export function cleanAll<T>(value: T): T {
  return cleaned(value) as T;
}

function cleaned(value: unknown): unknown {
  if (typeof value === 'string') return cleanText(value);
  if (Array.isArray(value)) return value.map(cleaned);
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([name, inner]) => [cleanText(name), cleaned(inner)]));
}
