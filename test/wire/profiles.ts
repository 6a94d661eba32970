/** The wire profiles that ship in devices/, read for tests. */
import { readdirSync, readFileSync } from 'node:fs';
import type { Profile } from '../../src/wire/profile.ts';
import { readProfile } from '../../src/wire/readProfile.ts';
import { printProblems } from '../../src/workshop/problems.ts';

/** The ones that show an overload, and speak by themselves or when asked. */
export const SHIPPED = ['status-first', 'unit-when-settled', 'number-and-unit', 'ask-and-answer'] as const;

/** All of them, by their files. */
export const EVERY_PROFILE: readonly string[] = readdirSync(new URL('../../devices/', import.meta.url))
  .filter((name) => name.endsWith('.yaml'))
  .map((name) => name.slice(0, -'.yaml'.length));

/** @throws Error when the profile has problems */
export function shippedProfile(id: string): Profile {
  const file = new URL(`../../devices/${id}.yaml`, import.meta.url);
  const result = readProfile(id, `${id}.yaml`, readFileSync(file, 'utf8'));
  if (!result.ok) throw new Error(printProblems(result.problems));
  return result.profile;
}
