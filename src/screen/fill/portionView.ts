/** The screen of portioning: the bench view and the live view of what `portion/` knows. */
import { judge, outsideBy } from '../../accept/band.ts';
import { nextBar } from '../../facts/bars.ts';
import { type Mass, mass, minus, size } from '../../mass/mass.ts';
import { decimalsOf, onGrid, printMass } from '../../mass/text.ts';
import { upToGrid } from '../../plan/plannedBand.ts';
import type { InHand, Portion } from '../../portion/model.ts';
import { type Running, runningOf, unweighed } from '../../portion/running.ts';
import { lastBar, mayKeep, mayLeaveOver } from '../../portion/step.ts';
import type { BenchView, Choice, LiveView, PanState } from '../view.ts';
import { scaleName } from './names.ts';

/** Where the maker has turned to: nothing, the number of a bar to pull, where that bar goes, or whether that was really all. */
export type PortionPage = 'work' | 'which' | 'really' | { readonly pull: number };

export interface AroundPortion {
  /** Formula and batch. */
  readonly title: string;
  readonly by: string;
  readonly page: PortionPage;
  /** A bar was counted a moment ago. */
  readonly saved: boolean;
  /** Why the last key did nothing: a sentence. */
  readonly why?: string | null;
  /** Facts could not be written: the sentence. */
  readonly failure: string | null;
  /** What else is to be known, the more urgent first. */
  readonly notes: readonly string[];
  /** What the scale shows against its empty pan; undefined when that is not known. */
  readonly load: Mass | undefined;
  /** It stands still. */
  readonly settled: boolean;
  readonly foot?: string | undefined;
}

type Words = Pick<BenchView, 'mood' | 'headline' | 'say' | 'detail'>;

export function portionViewOf(state: Portion, around: AroundPortion): BenchView {
  const running = runningOf(state.bars, state.aim, state.scale.d);
  const words = wordsOf(state, around, running);
  return {
    ...words,
    say: around.why ?? words.say,
    detail: [...words.detail, ...hints(state, running), ...around.notes],
    title: around.title,
    by: around.by,
    where: `${count(running.count)} of ${short(state.aim.setPoint)} g`,
    cautions: [],
    choices: choicesOf(state, around),
    done: state.bars.bars
      .filter(({ pulled }) => pulled === null)
      .map(({ bar, net }) => ({ name: `Bar ${bar}`, net: grams(state, net) })),
    next: running.toCome === null ? [] : [`${count(running.toCome)} to come`],
    ask: around.page === 'which' ? { prompt: 'Which bar is taken out? Its number:', kind: 'number' } : undefined,
    foot: around.foot,
  };
}

const count = (bars: number) => (bars === 1 ? '1 bar' : `${bars} bars`);
const short = (of: Mass) => printMass(of, { decimals: decimalsOf(of) });
const grams = ({ scale }: Portion, of: Mass) => `${printMass(of, { decimals: decimalsOf(scale.d) })} g`;

function wordsOf(state: Portion, { page, saved, failure, load, settled }: AroundPortion, running: Running): Words {
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
    const what = left === null ? '' : `${grams(state, left)} of the mix is not weighed. `;
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
      'NO SCALE',
      why,
      'What is counted is safe. A bar that stood there is weighed again afterwards.',
    );
  }
  if (pan.state === 'unproved') {
    const ask = settled ? ' If nothing is on it, press e.' : '';
    return say('place', 'EMPTY PAN', `Take everything off: the empty pan has to be seen.${ask}`);
  }
  if (unseen !== null) {
    return say(
      'place',
      'TAKE OFF',
      `Take it off for a moment: bar ${nextBar(state.bars)} counts once the pan was empty.`,
    );
  }
  if (state.ending) return leftOverWords(state, say);
  if (saved && pan.state === 'empty' && inHand === null) {
    return say('saved', 'COUNTED', `Bar ${lastBar(state) ?? ''} is counted. Put the next scoop on.`);
  }
  if (inHand !== null && pan.state === 'empty') return inHandWords(state, inHand, say);
  if (pan.state === 'empty') {
    if (running.toCome === 0) {
      return say('place', 'LAST', 'What should be left makes no whole bar: e ends, or put on what there is.');
    }
    return say('place', `BAR ${nextBar(state.bars)}`, 'Put a scoop on the pan.');
  }
  if (state.lifted) return say('place', 'WAIT', 'Leave the pan empty for a moment: the bar counts when that is seen.');
  const net = load ?? stood?.net;
  if (net === undefined) return say('place', 'WAIT', 'Let it come to rest.');
  const verdict = judge(net, aim);
  const stands = !pan.moving && stood?.dwelt === true;
  const asked = stands ? ['Lifted off as it is, it is asked what it is.'] : [];
  if (verdict === 'under') return say('pour', 'ADD', `Add mix, up to ${short(aim.setPoint)} g.`, ...asked);
  if (verdict === 'over')
    return say('hold', 'TAKE OFF', `Too much: take some off, down to ${short(aim.setPoint)} g.`, ...asked);
  if (stood?.doubted)
    return say('trouble', 'AGAIN', 'The number stopped too suddenly to be believed. Take it off, put it back on.');
  const next = state.changed === null ? '' : ' The bar before it was changed too quickly: it is asked for next.';
  if (stands) return say('in-band', 'LIFT', `Right. Lift it off, and it counts.${next}`);
  return say('in-band', 'LET STAND', 'In its band. Hands off until it says LIFT.');
}

type Say = (mood: Words['mood'], headline: string, text: string, ...detail: string[]) => Words;

function inHandWords(state: Portion, inHand: InHand, say: Say): Words {
  const { why, net, shift } = inHand;
  const off = grams(state, outsideBy(net, state.aim));
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
        `A bar of about ${grams(state, net)} was changed too quickly to be counted: put it back. Was it the same bar, go on.`,
      );
    case 'zero moved':
      return say('hold', 'AGAIN', `The zero moved by ${grams(state, size(shift))} under it. Put it back on.`);
  }
}

function leftOverWords(state: Portion, say: Say): Words {
  const written = state.bars.leftOver.map(({ what, net }) => `${what} ${grams(state, net)}`).join(', ');
  const detail = written === '' ? [] : [`Written down: ${written}.`];
  if (mayLeaveOver(state)) {
    return say('place', 'WHICH', 'Is it an offcut (too little for a bar) or crumbs? o or c writes it down.', ...detail);
  }
  return say('place', 'LEFT OVER', 'Put what is left on the pan: the offcut, then the crumbs. Enter ends.', ...detail);
}

/** Mean and spread so far, and whether the aim has wandered. */
function hints(state: Portion, { mean, s, left, wanders }: Running): string[] {
  const fine = (micrograms: number) =>
    printMass(mass(Math.round(micrograms)), { decimals: decimalsOf(state.scale.d) + 1 });
  const over =
    wanders === null
      ? []
      : [
          `The mean of the last bars runs ${grams(state, size(wanders))} ${wanders > 0 ? 'over: aim lower' : 'under: aim higher'}.`,
        ];
  const runs = mean === undefined ? '' : `Mean ${fine(mean)} g${s === undefined ? '' : `, spread ${fine(s)} g`}. `;
  const rest = left === null ? '' : `Of the mix ${grams(state, left)} should be left.`;
  const line = `${runs}${rest}`.trim();
  return [...over, ...(line === '' ? [] : [line])];
}

function choicesOf(state: Portion, { page, failure, settled }: AroundPortion): Choice[] {
  if (failure !== null) return [{ key: 'Enter', label: 'try again', needed: true }, leave];
  if (page === 'which') return [{ key: 'Esc', label: 'none' }];
  if (page === 'really') {
    return [
      { key: 'Enter', label: 'really all' },
      { key: 'Esc', label: 'no, go back' },
    ];
  }
  if (typeof page === 'object') {
    return [
      { key: 'b', label: 'back into the mix' },
      { key: 's', label: 'set aside' },
      { key: 'Esc', label: 'it stays' },
    ];
  }
  if (state.pan.state === 'unproved') return [...(settled ? [{ key: 'e', label: 'the pan is empty' }] : []), leave];
  if (state.ending) {
    return [
      ...(mayLeaveOver(state)
        ? [
            { key: 'o', label: 'offcut' },
            { key: 'c', label: 'crumbs' },
          ]
        : []),
      { key: 'Enter', label: 'all is weighed' },
      { key: 'm', label: 'more bars come' },
      leave,
    ];
  }
  const { inHand } = state;
  if (inHand !== null && mayKeep(state)) {
    return [
      { key: 'k', label: `keep it ${inHand.why} its band` },
      ...(inHand.why === 'under' ? [{ key: 's', label: 'it is the short one' }] : []),
      leave,
    ];
  }
  return [
    ...(lastBar(state) === undefined
      ? []
      : [
          { key: 'u', label: `bar ${lastBar(state)} back` },
          { key: 'a', label: 'pressed again' },
          { key: 'j', label: 'press jam' },
          { key: 'p', label: 'pull a bar' },
        ]),
    { key: 'e', label: 'no more bars' },
    leave,
  ];
}

const leave: Choice = { key: 'q', label: 'leave, go on later' };

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
  const net = pan.state === 'loaded' ? load : undefined;
  const isBar = net !== undefined && !ending;
  return {
    state: panState(numbers),
    fresh: fresh && pan.state !== 'unproved',
    scaleName: scaleName(scale.id),
    way: 'add',
    remaining: net === undefined ? undefined : text(ending ? net : minus(aim.setPoint, net)),
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
