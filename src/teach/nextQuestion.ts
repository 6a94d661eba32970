/** What the learner asks the maker next: only what the bytes can't show. */
import type { Evidence, Heard, Moment, Question } from './model.ts';

/** How often one moment is asked before the learner gives up on it. */
const MOST_TIMES = 3;

const DISPLAY = 'What does the display of the scale show now? Type the number and the unit, such as 296.4 g:';

/**
 * The next thing to ask, or undefined when all that can be asked was. Give it all that was heard, each time.
 * Nothing is asked that another moment has already shown.
 */
export function nextQuestion(evidence: Evidence): Question | undefined {
  const { heard, skipped } = evidence;
  if (heard.length === 0) return ask('empty', false);
  // A scale that has sent nothing by itself, on the pan's being loaded either, may wait for its send key.
  if (!heard.some(({ moment }) => moment === 'loaded')) return ask('loaded', false);
  const isMute = heard.every(({ pieces }) => pieces.length === 0);
  const keyPressed = isMute || (evidence.ask === undefined && heard.every((each) => each.keyPressed || isSilent(each)));
  for (const moment of ['empty', 'loaded', 'touched', 'other', 'lifted'] as const) {
    if (skipped.includes(moment)) continue;
    const times = heard.filter((each) => each.moment === moment);
    if (times.length >= MOST_TIMES) continue;
    if (!times.some((each) => isEnough(each, keyPressed))) return ask(moment, keyPressed);
  }
  return undefined;
}

function isSilent({ pieces }: Heard): boolean {
  return pieces.length === 0;
}

/** Whether the moment need not be asked again: it was heard, or nothing is to be heard in it. */
function isEnough(each: Heard, keyPressed: boolean): boolean {
  if (keyPressed && !each.keyPressed) return false;
  const needsDisplay = ask(each.moment, keyPressed).askDisplay !== undefined;
  return (each.moment === 'touched' || !isSilent(each)) && (!needsDisplay || each.shown !== undefined);
}

const DO: Readonly<Record<Moment, string>> = {
  empty: 'Take everything off the pan, wait until the display stands still, and leave it alone.',
  loaded: 'Put something on the pan, wait until the display stands still, and leave it alone.',
  touched: 'Leave it on. Touch the pan lightly again and again so that the display keeps changing.',
  other:
    'Put something else on the pan, clearly heavier or lighter, wait until the display stands still, and leave it alone.',
  lifted:
    "Leave it on and press the scale's tare key, so that the display shows zero. Then take it off, so that the display goes below zero, and leave it alone.",
  'touched-empty':
    "Leave the pan empty, with the display at zero (press the scale's zero or tare key if it is not). Touch the pan lightly again and again so that the display keeps changing.",
};

const LOST: Readonly<Partial<Record<Moment, string>>> = {
  touched: "Without it the scale's own word on rest is not used.",
  lifted:
    'Without it weights below zero are refused, and of several weights on a line none can be told to be the net one.',
  'touched-empty': 'Without it lines from the empty pan say nothing of rest.',
};

function ask(moment: Moment, pressKey: boolean): Question {
  const key = pressKey ? ' Then press the key of the scale that sends or prints.' : '';
  const isTouched = moment === 'touched' || moment === 'touched-empty';
  return {
    moment,
    say: DO[moment] + (pressKey && isTouched ? ' Meanwhile press the key that sends or prints a few times.' : key),
    listenMs: isTouched ? 6000 : 4000,
    pressKey,
    askDisplay: moment === 'loaded' || moment === 'other' || moment === 'lifted' ? DISPLAY : undefined,
    ifSkipped: LOST[moment],
  };
}
