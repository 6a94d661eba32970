/** The screen of portioning: the bench view of what `portion/` knows. Its words, keys and live numbers are beside it. */
import type { Mass } from '../../mass/mass.ts';
import type { Portion } from '../../portion/model.ts';
import { runningOf } from '../../portion/running.ts';
import type { BenchView } from '../view.ts';
import { choicesOf } from './portionChoices.ts';
import { barsInWords, gramsOn, hints, plain, wordsOf } from './portionWords.ts';

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

export function portionViewOf(state: Portion, around: AroundPortion): BenchView {
  const running = runningOf(state.bars, state.aim, state.scale.d);
  const words = wordsOf(state, around, running);
  return {
    ...words,
    say: around.why ?? words.say,
    detail: [...words.detail, ...hints(state, running), ...around.notes],
    title: around.title,
    by: around.by,
    where: `${barsInWords(running.count)} of ${plain(state.aim.setPoint)} g`,
    cautions: [],
    choices: choicesOf(state, around),
    done: state.bars.bars
      .filter(({ pulled }) => pulled === null)
      .map(({ bar, net, verdict }) => ({
        name: `Bar ${bar}${verdict === 'short' ? ', short' : ''}`,
        net: gramsOn(state, net),
      })),
    next: running.toCome === null ? [] : [`${barsInWords(running.toCome)} to come`],
    ask: around.page === 'which' ? { prompt: 'Which bar is taken out? Its number:', kind: 'number' } : undefined,
    foot: around.foot,
  };
}
