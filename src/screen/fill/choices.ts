/**
 * The answers that are open in each state, each on one key. The screen prints this list and the keyboard is matched
 * against the same list, so that no key does what is not written on the screen.
 */

import { drawOf } from '../../facts/apply.ts';
import type { PlannedDraw } from '../../plan/model.ts';
import type { Answer } from '../../weighing/events.ts';
import { burstOf, drawNow, netNow, panNow, recognised, standing, stepNow } from '../../weighing/look.ts';
import { isLittle, otherUnitNow } from '../../weighing/oddLoad.ts';
import { rescueToRead } from '../../weighing/rescueNow.ts';
import type { WeighingSnapshot } from '../../weighing/station.ts';
import { undoableNow } from '../../weighing/undoing.ts';
import { isZeroedUnder } from '../../weighing/zeroNow.ts';
import type { Choice } from '../view.ts';
import { giveUpLabel } from './holdWords.ts';
import { sizeOn } from './names.ts';
import { mayKeep, type Page, stillOpen } from './pages.ts';
import { scaleUpLabel, sizeLabel } from './rescueWords.ts';

export type Does =
  | { readonly answer: Answer }
  /** The maker says that the present draw's pan is empty. */
  | { readonly declareEmpty: string }
  /** Opens a page of answers, or closes it. */
  | { readonly page: Page | undefined }
  /** Where that went which was taken back out. */
  | { readonly returned: 'jar' | 'aside' }
  /** Leaves the program; the batch can be taken up again. */
  | { readonly leave: true };

export interface OpenChoice extends Choice {
  readonly does: Does;
}

/** What the maker may say why a weight outside its band is kept. */
export const REASONS = [
  'it can not be taken out again',
  'the formula can bear it',
  'the lot is used up',
  'a second person agreed',
] as const;

const yes: Answer = { type: 'answer.yes' };
const stop: Answer = { type: 'answer.stop' };

const open = (key: string, label: string, answer: Answer): OpenChoice => ({ key, label, does: { answer } });
const LEAVE: OpenChoice = { key: 'q', label: 'leave, go on later', does: { leave: true } };
const STOP = open('x', 'stop, something is wrong', stop);
const BACK = open('x', 'no, go back', stop);
const GIVE_UP = (label: string) => open('g', label, { type: 'answer.give-up' });
const KEEP: OpenChoice = { key: 'k', label: 'keep it, for a reason', does: { page: 'reasons' } };

/** The open answers. @param opened the page that the maker has turned to, if any */
export function choicesFor(snapshot: WeighingSnapshot, opened?: Page): readonly OpenChoice[] {
  const page = stillOpen(snapshot, opened);
  if (page !== undefined) return choicesOn(page, snapshot);
  const choices = [...choicesIn(snapshot), ...takenOutChoices(snapshot)];
  const last = snapshot.can({ type: 'answer.undo' }) ? undoableNow(snapshot.context) : null;
  if (last === null) return choices;
  const { batch } = snapshot.context;
  const name = last.of === 'step-done' ? 'that step' : (drawOf(batch, last.id)?.name ?? last.id);
  return [...choices, open('z', `undo: ${name} was not right`, { type: 'answer.undo' })];
}

/** Where that went which came back out of a vessel before its draw was accepted; not said, it is waste. */
function takenOutChoices(snapshot: WeighingSnapshot): readonly OpenChoice[] {
  const { batch } = snapshot.context;
  const isOpen = (['placing', 'pouring', 'tipping', 'step', 'summing', 'jar', 'lastLook'] as const).some((state) =>
    snapshot.matches(state),
  );
  if (batch.takenOut === null || !isOpen) return [];
  const much = `${sizeOn(batch.plan, drawOf(batch, batch.takenOut.draw)?.scale ?? '', batch.takenOut.amount)} taken out`;
  return [
    { key: 'j', label: `${much}: back in its jar`, does: { returned: 'jar' } },
    { key: 'c', label: 'kept aside', does: { returned: 'aside' } },
  ];
}

/** Pages of answers; each leads back to where it was opened from. */
function choicesOn(page: Page, snapshot: WeighingSnapshot): readonly OpenChoice[] {
  const back = (to: Page | undefined): OpenChoice => ({ key: 'x', label: 'no, go back', does: { page: to } });
  if (page === 'reasons') {
    return [
      ...REASONS.map((reason, index) => open(String(index + 1), reason, { type: 'answer.keep', reason })),
      back(undefined),
    ];
  }
  if (page !== 'sizes') {
    const answer: Answer = { type: 'answer.rescue', offer: page.offer };
    return [...(snapshot.can(answer) ? [open('Enter', 'yes, scale up', answer)] : []), back('sizes')];
  }
  const offers = rescueToRead(snapshot.context)?.offers ?? [];
  return [
    ...offers.map((offer, index) => ({ key: String(index + 1), label: sizeLabel(offer), does: { page: { offer } } })),
    back(undefined),
  ];
}

function choicesIn(snapshot: WeighingSnapshot): readonly OpenChoice[] {
  if (snapshot.matches('gathering')) return [open('Enter', 'begin', yes), LEAVE, STOP];
  if (snapshot.matches('ended')) return [{ key: 'Enter', label: 'close', does: { leave: true } }];
  if (snapshot.matches('logFailed')) return [open('Enter', 'try again', yes), LEAVE];
  if (snapshot.matches('givingUp')) return [open('Enter', 'yes, throw it away', yes), BACK];
  if (snapshot.matches('abandoning')) return [open('Enter', 'yes, end the batch', yes), BACK];
  if (snapshot.matches('elsewhere')) return [LEAVE, STOP];
  if (snapshot.matches('paused')) return pausedChoices(snapshot);
  if (snapshot.matches('lastLook')) return [open('Enter', 'leave it unseen', yes), STOP];
  if (snapshot.matches('placing')) return placingChoices(snapshot);
  if (snapshot.matches('hold')) return holdChoices(snapshot);
  if (snapshot.matches('short')) {
    return [open('Enter', 'found more', yes), ...otherLots(snapshot), ...holdChoices(snapshot)];
  }
  if (snapshot.matches('witnessing')) return witnesses(snapshot);
  if (snapshot.matches({ tipping: 'clinging' })) return [KEEP, STOP];
  if (snapshot.matches({ tipping: 'clean' })) return [open('Enter', 'write it down now', yes), STOP];
  if (snapshot.matches({ pouring: 'inBand' })) {
    const { unheard } = panNow(snapshot.context);
    return [unheard ? { ...open('Enter', 'all is in', yes), needed: true } : open('Enter', 'accept now', yes), STOP];
  }
  if (snapshot.matches({ pouring: 'under' })) return underChoices(snapshot);
  if (snapshot.matches({ summing: 'off' }) || snapshot.matches({ jar: 'off' })) return [KEEP, STOP];
  if (snapshot.matches('jar')) return [open('Enter', 'not weighed, go on', yes), STOP];
  if (snapshot.matches('summing')) return [open('Enter', 'not weighed, go on', yes), STOP];
  if (snapshot.matches('step')) return stepChoices(snapshot);
  return [STOP];
}

/** Said to who presses q where a stop comes first; undefined where it would say nothing. */
export function hintFor(choices: readonly OpenChoice[], key: string): string | undefined {
  if (key.toLowerCase() !== 'q' || choiceOf(choices, 'x') === undefined) return undefined;
  return 'To leave: x first (stop), then q. All that was accepted is safe.';
}

/** What a key does now; undefined when it does nothing. */
export function choiceOf(choices: readonly OpenChoice[], key: string): Does | undefined {
  const name = key === 'enter' ? 'Enter' : key.toLowerCase();
  return choices.find((choice) => choice.key === name)?.does;
}

function pausedChoices(snapshot: WeighingSnapshot): readonly OpenChoice[] {
  const giveUp = snapshot.can({ type: 'answer.give-up' }) ? [GIVE_UP(giveUpLabel(snapshot))] : [];
  return [
    open('Enter', 'go on', yes),
    ...giveUp,
    open('e', `end the ${snapshot.context.batch.partOf ? 'part' : 'batch'} for good`, { type: 'answer.abandon' }),
    LEAVE,
  ];
}

/** Whether something should be in the vessel by now (or always is, as in a jar). */
function isFilled({ batch }: WeighingSnapshot['context'], draw: PlannedDraw | undefined): boolean {
  return draw?.way === 'subtract' || (batch.vessels[draw?.on ?? '']?.holds ?? []).length > 0;
}

function placingChoices({ context }: WeighingSnapshot): readonly OpenChoice[] {
  const draw = drawNow(context);
  const here = standing(context);
  if (draw && (here === 'unsure' || isZeroedUnder(context))) {
    return [{ key: 'e', label: 'the pan is empty', does: { declareEmpty: draw.scale } }, STOP];
  }
  const begun = draw !== undefined && context.batch.draws[draw.id]?.base != null;
  if (draw && isLittle(context))
    return [{ key: 'e', label: 'the pan is empty', does: { declareEmpty: draw.scale } }, STOP];
  if (
    here !== 'wrong' ||
    otherUnitNow(context) !== undefined ||
    recognised(context) !== undefined ||
    panNow(context).toEmpty
  )
    return [STOP];
  if (!begun)
    return [open('u', isFilled(context, draw) ? 'it is right, with all in it' : 'it is right, and empty', yes), STOP];
  return (netNow(context) ?? 0) > 0 ? [open('u', 'it is this one, with too much in it', yes), STOP] : [STOP];
}

function holdChoices(snapshot: WeighingSnapshot): readonly OpenChoice[] {
  const rescue = snapshot.matches('hold') ? rescueToRead(snapshot.context) : null;
  const scaleUp: readonly OpenChoice[] =
    rescue === null || rescue.offers.length === 0
      ? []
      : [{ key: 's', label: scaleUpLabel(rescue), does: { page: 'sizes' } }];
  return [...scaleUp, ...(mayKeep(snapshot) ? [KEEP] : []), GIVE_UP(giveUpLabel(snapshot)), STOP];
}

function underChoices(snapshot: WeighingSnapshot): readonly OpenChoice[] {
  const full = open('f', 'no more fits', { type: 'answer.full' });
  return [
    open('l', 'the lot is empty', { type: 'answer.lot-ended' }),
    ...(snapshot.can({ type: 'answer.full' }) ? [full] : []),
    STOP,
  ];
}

/** Other lots of the ingredient, each on a number. */
function otherLots(snapshot: WeighingSnapshot): readonly OpenChoice[] {
  const lots = (drawNow(snapshot.context)?.otherLots ?? []).slice(0, 3);
  return lots.flatMap(({ id }, index) => {
    const answer = { type: 'answer.other-lot', lot: id } as const;
    return snapshot.can(answer) ? [open(String(index + 1), `go on with lot ${id}`, answer)] : [];
  });
}

/** Who may confirm a weight: everybody of the workshop but the one who weighs. */
function witnesses({ context }: WeighingSnapshot): readonly OpenChoice[] {
  const others = (context.batch.plan.people ?? []).filter((name) => name !== context.by).slice(0, 5);
  const names = others.length > 0 ? others : ['a second person'];
  return [
    ...names.map((name, index) => open(String(index + 1), `seen by ${name}`, { type: 'answer.witness', name })),
    STOP,
  ];
}

function stepChoices(snapshot: WeighingSnapshot): readonly OpenChoice[] {
  const step = stepNow(snapshot.context);
  if (snapshot.matches({ step: 'running' })) return [open('Enter', 'stop the clock', yes), STOP];
  if (snapshot.matches({ step: 'rung' })) {
    const more = step?.times == null || burstOf(snapshot.context) < step.times;
    return [open('Enter', 'done', yes), ...(more ? [open('a', 'once more', { type: 'answer.again' })] : []), STOP];
  }
  return [open('Enter', step?.forMs == null ? 'done' : 'start the clock', yes), STOP];
}
