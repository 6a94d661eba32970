/** What the maker answers while bars are weighed off, and which answers there are now. */
import { judge } from '../accept/band.ts';
import { ZERO } from '../mass/mass.ts';
import { certaintyOfBar } from './mayCount.ts';
import type { Answer, Portion, Stepped, Stood } from './model.ts';
import { counted, saying, silent } from './say.ts';

/** The newest bar that was not pulled. */
export function lastBar({ bars }: Pick<Portion, 'bars'>): number | undefined {
  return bars.bars.findLast(({ pulled }) => pulled === null)?.bar;
}

export function onAnswer(state: Portion, answer: Answer): Stepped {
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
