/** The live view of portioning: the numbers that change with the readings. */
import { type Mass, minus } from '../../mass/mass.ts';
import { decimalsOf, onGrid, printMass } from '../../mass/text.ts';
import { upToGrid } from '../../plan/plannedBand.ts';
import type { Portion } from '../../portion/model.ts';
import { bareOf } from '../../portion/onPan.ts';
import type { LiveView, PanState } from '../view.ts';
import { scaleName } from './names.ts';
import { isWordForHand } from './portionWords.ts';

export interface PortionNumbers {
  readonly gross: Mass | undefined;
  readonly load: Mass | undefined;
  readonly fresh: boolean;
  readonly settled: boolean;
  readonly trouble: boolean;
  readonly refused: number;
}

/** The numbers that change with the readings: what is missing to the set-point, or too much. */
export function portionLiveOf(state: Portion, numbers: PortionNumbers): LiveView {
  const { aim, scale, pan, ending } = state;
  const { load, fresh } = numbers;
  const text = (of: Mass) => printMass(onGrid(of, scale.d), { decimals: decimalsOf(scale.d) });
  const net = pan.state === 'loaded' && bareOf(state, load) === undefined ? load : undefined;
  const isBar = net !== undefined && !ending;
  return {
    state: panState(numbers),
    fresh: fresh && pan.state !== 'unproved',
    scaleName: scaleName(scale.id),
    way: 'add',
    // Read from afar: the number while it is added to or taken from, the word once the whole bar is to be lifted.
    remaining:
      net === undefined || isWordForHand(state, net) ? undefined : text(ending ? net : minus(aim.setPoint, net)),
    caption: ending ? 'left over' : undefined,
    takeBack: isBar && net > aim.high ? text(upToGrid(minus(net, aim.high), scale.d)) : undefined,
    unit: 'g',
    net: net === undefined ? undefined : text(net),
    gross: load === undefined ? undefined : text(load),
    lane: isBar ? { net, low: aim.low, target: aim.setPoint, high: aim.high, d: scale.d } : undefined,
    refused: numbers.refused,
  };
}

function panState({ trouble, fresh, settled }: PortionNumbers): PanState {
  if (trouble) return 'trouble';
  if (!fresh) return 'silent';
  return settled ? 'settled' : 'moving';
}
