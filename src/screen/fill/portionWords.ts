/** What portioning says to the maker: headline, sentence, and smaller lines. */
import { judge, outsideBy } from '../../accept/band.ts';
import { nextBar } from '../../facts/bars.ts';
import { type Mass, mass, size, ZERO } from '../../mass/mass.ts';
import { decimalsOf, printMass } from '../../mass/text.ts';
import { lastBar, mayKeep, mayLeaveOver } from '../../portion/answers.ts';
import { whyNot } from '../../portion/mayCount.ts';
import type { InHand, Portion } from '../../portion/model.ts';
import { bareOf, mayBeLiner } from '../../portion/onPan.ts';
import { type Running, unweighed } from '../../portion/running.ts';
import type { BenchView } from '../view.ts';
import { scaleName } from './names.ts';
import type { AroundPortion } from './portionView.ts';

type Words = Pick<BenchView, 'mood' | 'headline' | 'say' | 'detail'>;

export const barsInWords = (bars: number) => (bars === 1 ? '1 bar' : `${bars} bars`);
/** A mass without unit, with the decimals that it has. */
export const plain = (of: Mass) => printMass(of, { decimals: decimalsOf(of) });
/** With its unit, on the scale's own interval. */
export const gramsOn = ({ scale }: Portion, of: Mass) => `${printMass(of, { decimals: decimalsOf(scale.d) })} g`;

export function wordsOf(
  state: Portion,
  { page, saved, failure, load, settled }: AroundPortion,
  running: Running,
): Words {
  const { pan, aim, unseen, inHand, stood } = state;
  const say = (mood: Words['mood'], headline: string, text: string, ...detail: string[]): Words => ({
    mood,
    headline,
    say: text,
    detail,
  });
  if (failure !== null) return say('trouble', 'NOT WRITTEN', failure);
  if (page === 'which') return say('trouble', 'WHICH BAR', 'A bar of any number can be taken out of the lot.');
  if (page === 'really') {
    const left = unweighed(state.bars);
    const what = left === null ? '' : `${gramsOn(state, left)} of the mix is not weighed. `;
    return say(
      'trouble',
      'REALLY ALL',
      `${what}Really all? A bar that was lifted and not counted can still be put on.`,
    );
  }
  if (typeof page === 'object') return say('trouble', `BAR ${page.pull}`, 'Where does it go?');
  if (pan.state === 'blind') {
    const why = pan.say ?? `The ${scaleName(state.scale.id)} shows no weight that can be relied on. Is it switched on?`;
    return say(
      'blind',
      pan.trouble ? 'STOP' : 'NO SCALE',
      why,
      'What is counted is safe. A bar that stood there is weighed again afterwards.',
    );
  }
  if (pan.state === 'unproved') {
    const ask = settled ? ' If nothing is on it, or only a liner that stays, press e.' : '';
    return say('place', 'EMPTY PAN', `Take everything off: the empty pan has to be seen.${ask}`);
  }
  const bare = bareOf(state, load);
  if (unseen !== null && bare !== 'gone') {
    const left = whyNot(unseen, ZERO, aim, state.scale) === 'left some';
    const text = left
      ? `${gramsOn(state, unseen.remained)} is still on the pan: clear it. The bar is then asked for once more.`
      : `Take it off for a moment: bar ${nextBar(state.bars)} counts once the pan was empty.`;
    return say('place', 'TAKE OFF', text);
  }
  if (state.ending) return leftOverWords(state, say);
  if (saved && bare === 'empty' && inHand === null) {
    return say('saved', 'COUNTED', `Bar ${lastBar(state) ?? ''} is counted. Put the next scoop on.`);
  }
  if (inHand !== null && bare === 'empty') return inHandWords(state, inHand, say);
  if (bare === 'empty') {
    if (running.toCome === 0) {
      return say('place', 'LAST', 'What should be left makes no whole bar: e ends, or put on what there is.');
    }
    return say('place', `BAR ${nextBar(state.bars)}`, 'Put a scoop on the pan.');
  }
  if (state.lifted || unseen !== null) {
    return say('place', 'WAIT', 'Leave the pan empty for a moment: the bar counts when that is seen.');
  }
  if (bare === 'gone') return say('place', 'WAIT', 'Leave the pan empty for a moment.');
  const net = load ?? stood?.net;
  if (net === undefined) return say('place', 'WAIT', 'Let it come to rest.');
  const verdict = judge(net, aim);
  const stands = hasStood(state);
  const liner = mayBeLiner(state) ? ['Is it a liner that stays there? l takes it for part of the empty pan.'] : [];
  const asked = stands && liner.length === 0 ? ['Lifted off as it is, it is asked what it is.'] : liner;
  if (verdict === 'under') return say('pour', 'ADD', `Add mix, up to ${plain(aim.setPoint)} g.`, ...asked);
  if (verdict === 'over')
    return say('hold', 'TAKE OFF', `Too much: take some off, down to ${plain(aim.setPoint)} g.`, ...asked);
  if (stood?.doubted)
    return say('trouble', 'AGAIN', 'The number stopped too suddenly to be believed. Take it off, put it back on.');
  const next = state.changed === null ? '' : ' The bar before it was changed too quickly: it is asked for next.';
  if (stands) return say('in-band', 'LIFT', `Right. Lift it off, and it counts.${next}`);
  return say('in-band', 'LET STAND', 'In its band. Hands off until it says LIFT.');
}

/** What is on the pan has stood there for the dwell time, and stands. */
function hasStood({ pan, stood }: Portion): boolean {
  return pan.state === 'loaded' && !pan.moving && stood?.dwelt === true;
}

/**
 * What is on the pan is to be lifted off, or the pan to be left empty: then the word is for the hand, not the number.
 * @param net what is on the pan
 */
export function isWordForHand(state: Portion, net: Mass): boolean {
  if (state.ending) return false;
  if (state.unseen !== null || state.lifted) return true;
  return judge(net, state.aim) === 'in' && (state.stood?.doubted === true || hasStood(state));
}

type Say = (mood: Words['mood'], headline: string, text: string, ...detail: string[]) => Words;

function inHandWords(state: Portion, inHand: InHand, say: Say): Words {
  const { why, net, shift } = inHand;
  const off = gramsOn(state, outsideBy(net, state.aim));
  const back = 'Put it back';
  // What was not at rest long enough is kept by no key.
  const or = (what: string) =>
    mayKeep(state) ? `, or ${what}.` : '. To keep it as it is, let it stand a moment longer before you lift it.';
  switch (why) {
    case 'under':
      return say(
        'hold',
        'UNDER',
        `The bar in your hand is ${off} under its band. ${back} and add${or('say what it is')}`,
      );
    case 'over':
      return say('hold', 'OVER', `The bar in your hand is ${off} over its band. ${back} and take off${or('keep it')}`);
    case 'early':
      return say('hold', 'TOO SOON', 'It was lifted before it had stood long enough. Put it back on.');
    case 'doubted':
      return say('hold', 'AGAIN', 'That number could not be believed. Put it back on.');
    case 'changed':
      return say(
        'hold',
        'PUT BACK',
        `A bar of about ${gramsOn(state, net)} was changed too quickly to be counted: put it back. Was it the same bar, go on.`,
      );
    case 'left some':
      return say(
        'hold',
        'AGAIN',
        `${gramsOn(state, inHand.remained)} stayed on the pan when the bar was lifted. Clear the pan, put the bar back on.`,
        'Is it a liner that is to stay? Put it on alone first: l says so.',
      );
    case 'zero moved':
      return say('hold', 'AGAIN', `The zero moved by ${gramsOn(state, size(shift))} under it. Put it back on.`);
  }
}

function leftOverWords(state: Portion, say: Say): Words {
  const written = state.bars.leftOver.map(({ what, net }) => `${what} ${gramsOn(state, net)}`).join(', ');
  const detail = written === '' ? [] : [`Written down: ${written}.`];
  if (mayLeaveOver(state)) {
    return say('place', 'WHICH', 'Is it an offcut (too little for a bar) or crumbs? o or c writes it down.', ...detail);
  }
  return say('place', 'LEFT OVER', 'Put what is left on the pan: the offcut, then the crumbs. Enter ends.', ...detail);
}

/** Mean and spread so far, and whether the aim has wandered. */
export function hints(state: Portion, { mean, s, left, wanders }: Running): string[] {
  const fine = (micrograms: number) =>
    printMass(mass(Math.round(micrograms)), { decimals: decimalsOf(state.scale.d) + 1 });
  const over =
    wanders === null
      ? []
      : [
          `The mean of the last bars runs ${gramsOn(state, size(wanders))} ${wanders > 0 ? 'over: aim lower' : 'under: aim higher'}.`,
        ];
  const runs = mean === undefined ? '' : `Mean ${fine(mean)} g${s === undefined ? '' : `, spread ${fine(s)} g`}. `;
  const rest = left === null ? '' : `Of the mix ${gramsOn(state, left)} should be left.`;
  const line = `${runs}${rest}`.trim();
  return [...over, ...(line === '' ? [] : [line])];
}
