/** The reducer of portioning: happenings on the pan and answers of the maker in, facts to be written out. */
import { judge } from '../accept/band.ts';
import type { BarHappened, BarVerdict } from '../facts/barFacts.ts';
import { type Bars, nextBar } from '../facts/bars.ts';
import { greater, type Mass, mass, minus, ZERO } from '../mass/mass.ts';
import type { Happening, Level } from '../signal/happening.ts';
import { certaintyOfBar, whyNot } from './mayCount.ts';
import type { Aim, Answer, BarScale, Portion, PortionInput, Stepped, Stood } from './model.ts';

/** Nothing was shown since the pan was empty or at rest. */
const UNTOLD = { least: null, most: ZERO, passed: null };

/** Portioning as it begins, or goes on after a stop: nothing is known of the pan. */
export function beginPortion(scale: BarScale, aim: Aim, bars: Bars): Portion {
  const nothing = { stood: null, lifted: false, unseen: null, ...UNTOLD, changed: null, inHand: null };
  return { scale, aim, bars, pan: { state: 'blind', say: null }, ...nothing, ending: false, writing: [] };
}

/** One step. Never throws. */
export function stepPortion(state: Portion, input: PortionInput): Stepped {
  switch (input.kind) {
    case 'happening':
      return onHappening(state, input.happening);
    case 'live':
      return silent(onLive(state, input.load));
    case 'written':
      return silent({ ...state, bars: input.bars, writing: state.writing.slice(input.count) });
    case 'answer':
      // Nothing is decided on what is not written yet.
      return state.writing.length > 0 ? silent(state) : onAnswer(state, input.answer);
  }
}

const silent = (state: Portion): Stepped => ({ state, say: [] });
const saying = (state: Portion, ...say: BarHappened[]): Stepped => ({
  state: { ...state, writing: [...state.writing, ...say] },
  say,
});

/** Less than this is no bar: what rubbed off, or a crumb. */
function least({ aim, scale }: Portion): Mass {
  return greater(mass(20 * scale.d), mass(Math.round(aim.setPoint / 10)));
}

/** The display fell so far that what stood there can only have been lifted off. */
function isOff(state: Portion, load: Mass): boolean {
  return state.stood !== null && state.stood.net >= least(state) && load < least(state);
}

function onLive(state: Portion, load: Mass): Portion {
  if (state.stood === null) {
    // A bar that did not even come to rest may be gone already.
    const isGone = state.most >= state.aim.setPoint / 2 && load < state.most / 2;
    const most = isGone ? load : greater(state.most, load);
    return most === state.most ? state : { ...state, most, passed: isGone ? state.most : state.passed };
  }
  const lifted = state.lifted || isOff(state, load);
  const least = state.least !== null && state.least <= load ? state.least : load;
  return lifted === state.lifted && least === state.least ? state : { ...state, lifted, least };
}

function onHappening(state: Portion, happening: Happening): Stepped {
  switch (happening.kind) {
    case 'moving':
      if (state.pan.state === 'blind' || state.pan.state === 'unproved') return silent(state);
      return silent({ ...state, pan: { state: 'loaded', moving: true } });
    case 'settled':
    case 'dwelt':
      return onLevel(state, happening, happening.kind === 'dwelt');
    case 'emptied':
      return onEmptied(state, happening);
    case 'silent':
      return silent(blind(state, happening.say));
    case 'trouble':
      return silent(blind(state, null));
    case 'fresh':
    case 'trouble-over':
      return silent({ ...state, pan: { state: 'unproved' } });
    default:
      return silent(state);
  }
}

/** After a gap nothing that stood there is believed: it may be another bar by now. What was lifted before it stays asked. */
function blind(state: Portion, say: string | null): Portion {
  return { ...state, pan: { state: 'blind', say }, stood: null, lifted: false, unseen: null, ...UNTOLD };
}

function onLevel(state: Portion, level: Level, dwelt: boolean): Stepped {
  const { load, gross, zeroKnown } = level;
  const stood: Stood = { net: load, zero: minus(gross, load), dwelt, doubted: level.doubted === true, zeroKnown };
  const pan = zeroKnown ? ({ state: 'loaded', moving: false } as const) : ({ state: 'unproved' } as const);
  const next = { ...state, pan, stood, lifted: false, ...UNTOLD, least: load, inHand: null };
  if (state.passed !== null && zeroKnown && !state.ending) {
    return silent({ ...next, changed: { ...stood, net: state.passed, dwelt: false } });
  }
  // It still stands there, and was told before as settled.
  if (state.stood === null || state.unseen !== null || state.ending) return silent(next);
  const wasOff = state.lifted || (state.least !== null && state.least < state.stood.net / 2);
  // Something else came on before the empty pan was seen at rest: what was lifted waits for that.
  if (wasOff && isToCount(state)) return silent({ ...next, unseen: state.stood });
  return silent(mayBeAnother(state, load, wasOff) ? { ...next, changed: state.stood } : next);
}

/** A bar in its band went, and something came, too fast to tell whether it is the same. A trim goes one way only. */
function mayBeAnother(state: Portion, load: Mass, wasOff: boolean): boolean {
  const { stood, aim } = state;
  if (stood === null || judge(stood.net, aim) !== 'in') return false;
  const dip = state.least === null ? 0 : Math.min(stood.net, load) - state.least;
  return wasOff || dip >= least(state);
}

/** What was lifted off would have been counted, had the empty pan been seen; all else is only put back. */
function isToCount({ stood, aim, scale, ending }: Portion): boolean {
  return !ending && stood !== null && whyNot(stood, ZERO, aim, scale) === undefined;
}

function onEmptied(state: Portion, emptied: Happening & { kind: 'emptied' }): Stepped {
  const { zero, shift = ZERO, pressed = ZERO } = emptied;
  const off = state.unseen ?? state.stood;
  const gone = { stood: null, lifted: false, unseen: null, ...UNTOLD };
  const next: Portion = { ...state, ...gone, pan: { state: 'empty', zero } };
  if (off === null && !state.ending && pressed >= least(state)) {
    // It was lifted before it came to rest: its weight is not known, and it is not passed over.
    const seen = { net: pressed, zero: minus(zero, shift), dwelt: false, doubted: false, zeroKnown: true };
    return silent({ ...next, inHand: { ...seen, why: 'early', shift } });
  }
  if (off === null || state.ending || off.net < least(state)) return silent(next);
  const why = whyNot(off, shift, state.aim, state.scale);
  if (why !== undefined) return silent({ ...next, inHand: { ...off, why, shift } });
  // One is counted. Whatever else may have been a bar is asked for by name.
  const other = state.unseen === null ? state.changed : state.stood;
  const isOther = other !== null && (other === state.changed || judge(other.net, state.aim) === 'in');
  const inHand = isOther ? { ...other, why: 'changed' as const, shift } : null;
  return saying({ ...next, changed: null, inHand }, counted(next, off, shift, 'in', 'lift'));
}

function counted(state: Portion, stood: Stood, shift: Mass, verdict: BarVerdict, how: 'lift' | 'key'): BarHappened {
  const { scale, bars } = state;
  const { budget, uncertainty, coverage } = certaintyOfBar(scale, stood.net, shift);
  const bar = nextBar(bars) + state.writing.filter(({ kind }) => kind === 'bar').length;
  const { net, zero } = stood;
  return { kind: 'bar', bar, net, scale: scale.id, zero, uncertainty, coverage, budget, verdict, how };
}

/** The newest bar that was not pulled. */
export function lastBar({ bars }: Pick<Portion, 'bars'>): number | undefined {
  return bars.bars.findLast(({ pulled }) => pulled === null)?.bar;
}

function onAnswer(state: Portion, answer: Answer): Stepped {
  const last = lastBar(state);
  switch (answer.kind) {
    case 'keep':
    case 'short':
      return keep(state, answer.kind);
    case 'undo':
      if (last === undefined || state.inHand !== null) return silent(state);
      return saying(state, { kind: 'bar-pulled', bar: last, reason: 'taken back right away', back: true });
    case 'pull': {
      const { bar, back, reason } = answer;
      if (!mayPull(state, bar)) return silent(state);
      return saying(state, { kind: 'bar-pulled', bar, reason, back });
    }
    case 'press':
      return last === undefined ? silent(state) : saying(state, { kind: 'bar-pressed', bar: last, why: answer.why });
    case 'end':
      return silent({ ...state, ending: true, inHand: null });
    case 'go-on':
      return silent({ ...state, ending: false });
    case 'left-over':
      return leftOver(state, answer.what);
    case 'done':
      return state.ending ? saying(state, { kind: 'portioning-ended' }) : silent(state);
  }
}

export function mayPull({ bars }: Pick<Portion, 'bars'>, number: number): boolean {
  return bars.bars.some(({ bar, pulled }) => bar === number && pulled === null);
}

/** A bar outside its band counts only by this; one that was never at rest, or not to be believed, is weighed again. */
export function mayKeep({ inHand }: Pick<Portion, 'inHand'>): boolean {
  return inHand !== null && (inHand.why === 'under' || inHand.why === 'over') && inHand.dwelt;
}

function keep(state: Portion, how: 'keep' | 'short'): Stepped {
  const { inHand, aim } = state;
  if (inHand === null || !mayKeep(state)) return silent(state);
  const verdict = judge(inHand.net, aim);
  if (how === 'short' && verdict !== 'under') return silent(state);
  const next = { ...state, inHand: null };
  return saying(next, counted(next, inHand, inHand.shift, how === 'short' ? 'short' : verdict, 'key'));
}

/** What stands on the pan may be written down as left over: by the same rules, but for a band. */
export function mayLeaveOver({ ending, stood, pan }: Pick<Portion, 'ending' | 'stood' | 'pan'>): boolean {
  return ending && pan.state === 'loaded' && !pan.moving && stood !== null && isSound(stood);
}

function isSound({ dwelt, doubted, zeroKnown, net }: Stood): boolean {
  return dwelt && !doubted && zeroKnown && net > 0;
}

function leftOver(state: Portion, what: 'offcut' | 'crumbs'): Stepped {
  const { stood, scale } = state;
  if (stood === null || !mayLeaveOver(state)) return silent(state);
  const { uncertainty } = certaintyOfBar(scale, stood.net, ZERO);
  // What is written down once is not written down again: it has to be lifted off first.
  const next = { ...state, stood: { ...stood, dwelt: false } };
  return saying(next, { kind: 'left-over', what, net: stood.net, scale: scale.id, uncertainty });
}
