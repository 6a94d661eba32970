/** The dim line at the foot of the demo's screen: which keys move the hand now. */
import { drawNow, stepNow } from '../../weighing/look.ts';
import type { WeighingSnapshot } from '../../weighing/station.ts';
import { movesContentNow } from '../../weighing/stepPans.ts';

const POUR = 'Space pour  Right pinch in  Left pinch out  Down lift  o on/off';
const SPOON = 'Space take out  Right a pinch  Left tap back  Down lift  o on/off';

/** What the screen says of the hand's keys in this state. */
export function handWords(snapshot: WeighingSnapshot): string {
  const said = keysFor(snapshot);
  return said === '' ? '' : `Your hand: ${said}`;
}

function keysFor(snapshot: WeighingSnapshot): string {
  const scene = snapshot.context;
  if (snapshot.matches('gathering') || snapshot.matches('ended')) return '';
  if (stepNow(scene)) {
    if (movesContentNow(scene)) return 'Down empty it out   Up put it back on';
    if (snapshot.matches('summing')) return 'Up put it on   Down lift';
    const isOver = snapshot.matches({ step: 'rung' }) || stepNow(scene)?.forMs === null;
    return isOver ? 'Up put on what is asked for   Down lift   t tap the empty pan' : 'Down lift it off';
  }
  if (snapshot.matches('lastLook')) return 'Down lift it off';
  const draw = drawNow(scene);
  if (!draw) return '';
  if (snapshot.matches('tipping')) return 'Down lift and tip it   Up put it back on';
  if (snapshot.matches('placing') || snapshot.matches('blind')) {
    return 'Up put it on  Down lift  b put the last one back  o scale on/off';
  }
  return draw.way === 'subtract' ? SPOON : POUR;
}
