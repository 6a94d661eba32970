/** The words for the sum check: does the vessel weigh what went into it, and what may be wrong if not. */
import type { Suspect } from '../../accept/sumCheck.ts';
import { drawOf } from '../../facts/apply.ts';
import type { BatchState } from '../../facts/batchState.ts';
import { stepNow } from '../../weighing/look.ts';
import type { WeighingSnapshot } from '../../weighing/station.ts';
import { stepVessel, tapScale } from '../../weighing/stepPans.ts';
import { sumNow } from '../../weighing/sumNow.ts';
import type { Mood } from '../view.ts';
import { scaleName, sizeOn, vesselName } from './names.ts';

interface SumWords {
  readonly mood: Mood;
  readonly headline: string;
  readonly say: string;
  readonly detail: readonly string[];
}

export function sumWords(snapshot: WeighingSnapshot): SumWords {
  const scene = snapshot.context;
  const { plan } = scene.batch;
  const vessel = vesselName(plan, stepVessel(scene) ?? '');
  const sum = sumNow(scene);
  const from = comesFrom(scene.batch, stepNow(scene)?.id ?? '');
  const spilt = from === undefined ? [] : ['Spilt, or not the right one? x, then g: it is weighed again.'];
  if (snapshot.matches({ summing: 'off' }) && sum) {
    const off = sizeOn(plan, sum.scale, sum.difference);
    return {
      mood: 'hold',
      headline: 'SUM IS OFF',
      say: `${vessel} weighs ${off} ${sum.difference < 0 ? 'less' : 'more'} than what went in.`,
      detail: [suspicion(scene.batch, sum.suspects), ...spilt, 'Put it right, or keep it for a reason.'].filter(
        (line) => line !== '',
      ),
    };
  }
  const scale = tapScale(scene);
  return {
    mood: 'place',
    headline: 'SUM CHECK',
    say: `Put ${vessel} on the ${scale === undefined ? 'scale' : scaleName(scale)}: it must weigh what went into it.`,
    detail: from === undefined ? [] : [`It comes from ${from}, weighed on another scale.`, ...spilt],
  };
}

/** The bench that a vessel has come over from, where this is the look at it. */
function comesFrom({ handOvers }: BatchState, step: string): string | undefined {
  const number = /\/over-(\d+)/.exec(step)?.[1];
  return handOvers.find((each) => String(each.number) === number)?.to;
}

/** `Was Vitamin E never put in?` */
export function suspicion(batch: BatchState, suspects: readonly Suspect[]): string {
  const [first] = suspects;
  if (!first) return '';
  const names = first.draws.map((id) => drawOf(batch, id)?.name ?? id).join(' and ');
  const more = suspects.length > 1 ? ' (other draws weigh about as much)' : '';
  switch (first.what) {
    case 'missing':
      return `Was ${names} never put in?${more}`;
    case 'twice':
      return `Was ${names} put in twice?${more}`;
    case 'from-elsewhere':
      return `Did ${names} go in here, instead of where it belongs?${more}`;
  }
}
