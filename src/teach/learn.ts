/** What was heard of an unknown scale -> its wire profile, proved against all of it; or why there is none. */

import { readProfile } from '../wire/readProfile.ts';
import { bounded } from './bytes.ts';
import { whatToDo } from './gaps.ts';
import type { Evidence, Learnt } from './model.ts';
import { describe, knownParts, partsOf } from './parts.ts';
import { withBounds } from './pattern.ts';
import { writeProfileFile } from './profileFile.ts';
import { disproof } from './prove.ts';
import { study } from './study.ts';

/**
 * Learns a scale. Call it once `nextQuestion` has no more questions. Never throws, whatever was heard.
 * @param name the profile's id and file name, such as `kitchen-scale`
 */
export function learn(all: Evidence, name: string): Learnt {
  const evidence = bounded(all);
  const found = study(evidence);
  if (!found.ok) return { ok: false, ...whatToDo(found), parts: knownParts(evidence, found.framing) };
  const { findings, leftOut } = found;
  const parts = partsOf(found, evidence);
  const read = (text: string) => ({ yaml: text, result: readProfile(name, `${name}.yaml`, text) });
  const plain = read(writeProfileFile(findings, describe(findings)));
  // Many numbers side by side: with bounds on each the pattern stays cheap, if less easy to read.
  const { yaml, result } = plain.result.ok ? plain : read(writeProfileFile(findings, describe(findings), withBounds));
  if (!result.ok) {
    const [problem] = result.problems;
    return {
      ok: false,
      why: `Its lines can not be told apart safely (${problem ? `expected ${problem.expected}` : 'no reason'}).`,
      todo: 'Nothing was written. Write a wire profile by hand (DEVELOPERS.md tells how), or type the weights in (keyed: yes).',
      parts,
    };
  }
  const wrong = disproof(result.profile, evidence.heard, findings.weight.displays, findings.unit, leftOut);
  if (wrong !== undefined) {
    return {
      ok: false,
      why: `A profile was found, but read with it ${wrong}.`,
      todo: 'Nothing was written. Teach the scale once more, and keep everything off the pan but what is asked for.',
      parts,
    };
  }
  return { ok: true, profile: result.profile, yaml, parts };
}
