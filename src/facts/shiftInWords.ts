/** A shift of a scale's zero under draws, in one sentence that screen, lines and record share. */
import { size } from '../mass/mass.ts';
import { decimalsOf, printMass } from '../mass/text.ts';
import type { Plan } from '../plan/model.ts';
import type { Happened } from './fact.ts';

/** `The empty bench scale shows 0.3 g less than before: Shea butter may be up to 0.3 g off` (no full stop). */
export function shiftInWords(
  { scale, shift, draws }: Omit<Happened & { kind: 'zero-shifted' }, 'kind'>,
  plan: Plan | undefined,
): string {
  const d = plan?.scales[scale]?.d;
  const much = `${printMass(size(shift), { decimals: d === undefined ? 3 : decimalsOf(d) })} g`;
  const names = draws.map((id) => plan?.tasks.find((task) => task.kind === 'draw' && task.id === id));
  const touched = names.map((task, index) => (task?.kind === 'draw' ? task.name : (draws[index] ?? '')));
  const they = touched.length > 1 ? ' each' : '';
  return `The empty ${scale} scale shows ${much} ${shift < 0 ? 'less' : 'more'} than before: ${listed(touched)} may${they} be up to ${much} off`;
}

/** What may have moved it, for those who ask why. */
export function causeOfShift(shift: number): string {
  return shift < 0 ? 'it drifted, or hid slow additions' : 'it drifted, or something lies on its pan';
}

function listed(names: readonly string[]): string {
  return names.length < 2 ? names.join() : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`;
}
