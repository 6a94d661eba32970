/** The wire profiles that ship in devices/, read for tests. */
import { readFileSync } from 'node:fs';
import type { Profile } from '../../src/wire/profile.ts';
import { readProfile } from '../../src/wire/readProfile.ts';
import { printProblems } from '../../src/workshop/problems.ts';

export const SHIPPED = ['status-first', 'unit-when-settled', 'number-and-unit', 'ask-and-answer'] as const;

/** @throws Error when the profile has problems */
export function shippedProfile(id: (typeof SHIPPED)[number]): Profile {
  const file = new URL(`../../devices/${id}.yaml`, import.meta.url);
  const result = readProfile(id, `${id}.yaml`, readFileSync(file, 'utf8'));
  if (!result.ok) throw new Error(printProblems(result.problems));
  return result.profile;
}
