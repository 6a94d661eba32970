/** The words for double entry: the jar before and after a draw. */
import { minus } from '../../mass/mass.ts';
import { jarDraw, jarNow } from '../../weighing/jarNow.ts';
import { stepNow } from '../../weighing/look.ts';
import type { WeighingSnapshot } from '../../weighing/station.ts';
import type { Mood } from '../view.ts';
import { scaleName, sizeOn } from './names.ts';

interface JarWords {
  readonly mood: Mood;
  readonly headline: string;
  readonly say: string;
  readonly detail: readonly string[];
}

export function jarWords(snapshot: WeighingSnapshot): JarWords {
  const scene = snapshot.context;
  const { plan } = scene.batch;
  const draw = jarDraw(scene);
  const jar = jarNow(scene);
  const name = `${draw?.name ?? ''}, lot ${draw?.lot ?? ''}`;
  if (snapshot.matches({ jar: 'off' }) && jar && jar.left !== null && jar.came !== null) {
    const off = minus(jar.left, jar.came);
    return {
      mood: 'hold',
      headline: 'JAR IS OFF',
      say: `${sizeOn(plan, jar.scale, off)} ${off > 0 ? 'more' : 'less'} has left the jar than came in. ${name}.`,
      detail: [
        off > 0 ? 'Spilt, or taken for something else?' : 'Another jar, or another lid on it?',
        'Put it right, or keep it for a reason.',
      ],
    };
  }
  const isBefore = stepNow(scene)?.jar?.when === 'before';
  const scale = isBefore ? undefined : scene.batch.jars[draw?.id ?? '']?.scale;
  const where = scale === undefined ? 'a scale that can carry it' : `the ${scaleName(scale)}`;
  return {
    mood: 'place',
    headline: isBefore ? 'WEIGH JAR' : 'JAR AGAIN',
    say: `${name}: put its jar on ${where}, ${isBefore ? 'then take from it' : 'as it was before'}.`,
    detail: ['Double entry: what leaves the jar must be what comes in. Lid off both times, or on both times.'],
  };
}
