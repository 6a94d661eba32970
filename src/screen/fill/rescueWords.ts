/** How the batch could grow, in words: in short beside a key, and with all that it takes on a page of its own. */
import { printMass } from '../../mass/text.ts';
import { counted, factorOf, meantInWords, sizeInWords } from '../../rescue/inWords.ts';
import type { Offer, Rescue } from '../../rescue/model.ts';
import type { GatherLine } from '../view.ts';
import { gramsOn, sizeOn } from './names.ts';
import { type Words, words } from './wording.ts';

function more({ extra }: Offer): string {
  return `${printMass(extra, { decimals: 1 })} g more`;
}

/** `26 bars instead of 24, exact shares: 154.6 g more, top up six`. */
export function sizeLabel(offer: Offer): string {
  const { wholeBars, bars, from, mass, meant, topUps } = offer;
  const size = wholeBars ? `${bars} bars instead of ${from.bars}` : `${factorOf(mass, from.mass)} times as much`;
  const shares = meant === 'exact' ? 'exact shares' : 'within bands';
  const many = new Set(topUps.map(({ ingredient }) => ingredient)).size;
  return `${size}, ${shares}: ${more(offer)}, ${many === 0 ? 'nothing to top up' : `top up ${counted(many)}`}`;
}

/** `scale up: at least 40.1 g more in all`. */
export function scaleUpLabel({ offers }: Rescue): string {
  const [least] = offers;
  return least === undefined ? 'scale up' : `scale up: at least ${more(least)} in all`;
}

/** Why there is no scale-up, for the smallest one that would do; undefined where nothing is known. */
export function noBecause({ refused }: Rescue): string | undefined {
  const least = [...refused].sort((a, b) => (a.mass ?? 0) - (b.mass ?? 0))[0];
  const [reason] = least?.reasons ?? [];
  return reason && `No scale-up: ${reason.why}`;
}

export function sizesWords(rescue: Rescue): Words {
  const isSome = rescue.refused.length > 0;
  return words(
    'hold',
    'SCALE UP',
    'What is too much stays in, and the batch grows. To which size?',
    isSome ? [`Not in other sizes: ${rescue.refused[0]?.reasons[0]?.why ?? ''}`] : [],
  );
}

export function offerWords(offer: Offer): Words {
  const size = sizeInWords(offer);
  return words('hold', 'SCALE UP?', `${size}: ${meantInWords(offer.meant)}, ${more(offer)} in all.`, [
    'All that is still to come goes by the new amounts.',
  ]);
}

/** All that an offer takes: what is topped up now, what grows, what stays as it is. */
export function offerList({ topUps, raised, leftAlone, plan }: Offer): readonly GatherLine[] {
  const scaleOf = (draw: string) => {
    const task = plan.tasks.find(({ kind, id }) => kind === 'draw' && id.startsWith(draw));
    return task?.kind === 'draw' ? task.scale : '';
  };
  const head = (heading: string, of: readonly unknown[]): GatherLine[] => (of.length > 0 ? [{ heading }] : []);
  return [
    ...head('To top up, right after this', topUps),
    ...topUps.map(({ name, lot, amount, scale }) => ({ name, note: lot, amount: `+ ${sizeOn(plan, scale, amount)}` })),
    ...head('Larger from now on', raised),
    ...raised.map(({ draw, name, to }) => ({ name, amount: gramsOn(plan, scaleOf(draw), to) })),
    ...head('In, and right as it is', leftAlone),
    ...leftAlone.map(({ draw, name, amount }) => ({ name, amount: gramsOn(plan, scaleOf(draw), amount) })),
  ];
}
