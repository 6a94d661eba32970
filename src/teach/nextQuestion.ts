/** What the learner asks the maker next: only what the bytes can't show. */
import { displaysOf } from './findWeight.ts';
import type { Evidence, Heard, Moment, Question } from './model.ts';
import { readShown } from './shownNumber.ts';
import { study } from './study.ts';

/** How often one moment is asked (with the send key: anew) before the learner gives up on it. */
const MOST_TIMES = 2;

const DISPLAY = 'What does the display of the scale show now? Type the number and the unit, such as 296.4 g:';

/**
 * The next thing to ask, or undefined when all that can be asked was. Give it all that was heard, each time.
 * Nothing is asked that another moment has already shown.
 */
export function nextQuestion(evidence: Evidence): Question | undefined {
  const { heard } = evidence;
  if (!heard.some(({ moment }) => moment === 'empty')) return ask('empty', false);
  // A scale that has sent nothing by itself, when the pan was loaded either, may wait for its send key.
  if (!heard.some(({ moment }) => moment === 'loaded')) return ask('loaded', false);
  const pressKey = evidence.ask === undefined && heard.every((each) => each.keyPressed || isSilent(each));
  for (const moment of ['empty', 'loaded', 'touched', 'other'] as const) {
    if (isWanted(evidence, moment, pressKey)) return ask(moment, pressKey);
  }
  // One that speaks only when something changes said nothing at first, when the pan had long been empty.
  const empty = timesOf(evidence, 'empty');
  if (empty.length === 1 && empty.every(isSilent)) return ask('empty', pressKey);
  if (isWanted(evidence, 'lifted', pressKey)) return ask('lifted', pressKey);
  return doubt(evidence, pressKey);
}

function isWanted(evidence: Evidence, moment: Moment, pressKey: boolean): boolean {
  return !isOver(evidence, moment) && !timesOf(evidence, moment).some((each) => isEnough(each, pressKey));
}

/** What the findings so far leave open. */
function doubt(evidence: Evidence, pressKey: boolean): Question | undefined {
  const found = study(evidence);
  const again = (moment: Moment, why: string): Question | undefined => {
    if (isOver(evidence, moment)) return undefined;
    const question = ask(moment, pressKey);
    return { ...question, say: `${why} ${question.say}` };
  };
  if (!found.ok) {
    if (found.gap === 'several lines' && timesOf(evidence, 'switched-on').length === 0) {
      return again('switched-on', 'One thing is still open: where a reading begins.');
    }
    // Where nothing agrees at all, asking again would not help.
    if (found.disagree.length === displaysOf(evidence.heard).length) return undefined;
    for (const { heard } of found.disagree) {
      const question = again(heard.moment, 'What came from the scale does not agree with what you typed: once more.');
      if (question) return question;
    }
    return undefined;
  }
  const isOpen = found.untested.length > 0 || found.findings.weight.sign === undefined;
  return isOpen && timesOf(evidence, 'touched-empty').length === 0
    ? again('touched-empty', 'One thing is still open.')
    : undefined;
}

function timesOf({ heard }: Evidence, moment: Moment): readonly Heard[] {
  return heard.filter((each) => each.moment === moment);
}

/** Whether the moment is not asked for any more. */
function isOver(evidence: Evidence, moment: Moment): boolean {
  const times = timesOf(evidence, moment);
  const withKey = times.filter(({ keyPressed }) => keyPressed).length;
  return evidence.skipped.includes(moment) || Math.max(withKey, times.length - withKey) >= MOST_TIMES;
}

function isSilent({ pieces }: Heard): boolean {
  return pieces.length === 0;
}

/** Whether the moment need not be asked again: it was heard, or nothing is to be heard in it. */
function isEnough(each: Heard, pressKey: boolean): boolean {
  if (pressKey && !each.keyPressed) return false;
  // Some scales say nothing of an empty pan, or of one that moves.
  if (each.moment === 'empty' || each.moment === 'touched') return true;
  return !isSilent(each) && each.shown !== undefined && readShown(each.shown)?.unit !== undefined;
}

const DO: Readonly<Record<Moment, string>> = {
  empty: 'Take everything off the pan, wait until the display stands still, and leave it alone.',
  loaded: 'Put something on the pan, wait until the display stands still, and leave it alone.',
  touched: 'With the same thing on the pan, touch the pan lightly again and again, so that the display keeps changing.',
  other:
    'Put something else on the pan, clearly heavier or lighter, wait until the display stands still, and leave it alone.',
  lifted:
    "With something on the pan, press the scale's tare key (or its zero key, or switch it off and on), so that the display shows zero. Then take it off, so that the display goes below zero, and leave it alone.",
  'touched-empty':
    "Leave the pan empty, with the display at zero (press the scale's zero or tare key if it is not). Touch the pan lightly again and again, so that the display keeps changing around zero.",
  'switched-on':
    'Take everything off the pan. Switch the scale off, wait until its display is dark, switch it on again, and wait until it shows zero.',
};

const LOST: Readonly<Partial<Record<Moment, string>>> = {
  touched: "Without it the scale's own word on rest is not used.",
  lifted:
    'Without it weights below zero are refused, and of several weights on a line none can be told to be the net one.',
  'touched-empty': 'Without it lines from the empty pan say nothing of rest.',
  'switched-on': 'Without it a scale that sends several lines for one reading can not be learnt.',
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
