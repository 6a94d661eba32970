/** What happens on the pan while bars are weighed off. */
import { judge } from '../accept/band.ts';
import { greater, type Mass, mass, minus, ZERO } from '../mass/mass.ts';
import type { Happening, Level } from '../signal/happening.ts';
import { troubleInWords } from '../signal/troubleWords.ts';
import { whyNot } from './mayCount.ts';
import type { Portion, Stepped, Stood } from './model.ts';
import { counted, saying, silent, UNTOLD } from './say.ts';

/** Less than this is no bar: what rubbed off, or a crumb. */
function least({ aim, scale }: Portion): Mass {
  return greater(mass(20 * scale.d), mass(Math.round(aim.setPoint / 10)));
}

/** The display fell so far that what stood there can only have been lifted off. */
function isOff(state: Portion, load: Mass): boolean {
  return state.stood !== null && state.stood.net >= least(state) && load < least(state);
}

/** Something light rests there against a known zero, and nothing else is open: it may be a liner that stays. */
export function mayBeLiner(state: Portion): boolean {
  const { pan, stood, unseen, ending } = state;
  if (ending || unseen !== null || stood === null || pan.state !== 'loaded' || pan.moving) return false;
  return stood.dwelt && stood.zeroKnown && !stood.doubted && stood.net > 0 && stood.net < least(state);
}

/**
 * Whether nothing is on the pan, although it may not have come to rest: `gone`, where something was on it a moment ago and
 * what becomes of that is open; undefined where something is on it, or nobody knows.
 * @param load what the scale shows against its empty pan
 */
export function bareOf(state: Portion, load: Mass | undefined): 'empty' | 'gone' | undefined {
  const { pan, stood, lifted, passed, most } = state;
  if (pan.state === 'empty') return 'empty';
  if (pan.state !== 'loaded' || !pan.moving || load === undefined || load >= least(state)) return undefined;
  if (stood !== null) return lifted ? 'gone' : undefined;
  // An empty pan that trembles.
  return passed === null && most < least(state) ? 'empty' : 'gone';
}

export function onLive(state: Portion, load: Mass): Portion {
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

export function onHappening(state: Portion, happening: Happening): Stepped {
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
      return silent(blind(state, false, happening.say));
    case 'trouble':
      return silent(blind(state, true, troubleInWords(happening.scale, happening.trouble)));
    case 'fresh':
    case 'trouble-over':
      return silent({ ...state, pan: { state: 'unproved' } });
    default:
      return silent(state);
  }
}

/** After a gap nothing that stood there is believed: it may be another bar by now. What was lifted before it stays asked. */
function blind(state: Portion, trouble: boolean, say: string | null): Portion {
  return { ...state, pan: { state: 'blind', trouble, say }, stood: null, lifted: false, unseen: null, ...UNTOLD };
}

function onLevel(state: Portion, level: Level, dwelt: boolean): Stepped {
  const { load, gross, zeroKnown } = level;
  const stood: Stood = {
    net: load,
    zero: minus(gross, load),
    dwelt,
    doubted: level.doubted === true,
    zeroKnown,
    remained: ZERO,
  };
  const pan = zeroKnown ? ({ state: 'loaded', moving: false } as const) : ({ state: 'unproved' } as const);
  const next = { ...state, pan, stood, lifted: false, ...UNTOLD, least: load, inHand: null };
  if (state.passed !== null && zeroKnown && !state.ending) {
    return silent({ ...next, changed: { ...stood, net: state.passed, dwelt: false } });
  }
  // Less than a bar, and it can't be the next one: it was weighed with the one that is off.
  const remained = load < least(state) ? load : ZERO;
  if (state.unseen !== null && remained > state.unseen.remained) {
    return silent({ ...next, unseen: { ...state.unseen, remained } });
  }
  // It still stands there, and was told before as settled.
  if (state.stood === null || state.unseen !== null || state.ending) return silent(next);
  const wasOff = state.lifted || (state.least !== null && state.least < state.stood.net / 2);
  // Something else came on before the empty pan was seen at rest: what was lifted waits for that.
  if (wasOff && isToCount(state)) return silent({ ...next, unseen: { ...state.stood, remained } });
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
    const seen = {
      net: pressed,
      zero: minus(zero, shift),
      dwelt: false,
      doubted: false,
      zeroKnown: true,
      remained: ZERO,
    };
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
