/** Why a scale could not be learnt, and what its maker can do: sentences. */
import type { Gap, Study } from './study.ts';

interface Advice {
  readonly why: string;
  readonly todo: string;
}

const BY_HAND = 'Write a wire profile by hand (DEVELOPERS.md tells how), or type the weights in (keyed: yes).';

const ADVICE: Readonly<Record<Gap, Advice>> = {
  silent: {
    why: 'The scale sent nothing.',
    todo: 'Check the cable, look in its menu for sending all the time (often called continuous), and teach it again.',
  },
  'no framing': {
    why: 'What the scale sends could not be cut into lines.',
    todo: `Check its speed and parity in its menu and give them, and teach it again. Or: ${BY_HAND}`,
  },
  'several lines': {
    why: 'It sends several lines for one reading, and without a pause it can not be told where a reading begins.',
    todo: 'Set the scale to send less often, or at a faster serial speed, and teach it again.',
  },
  'no numbers': {
    why: 'Its lines have no number that is always there.',
    todo: `Set the scale to send weights, and teach it again. Or: ${BY_HAND}`,
  },
  'no display': {
    why: 'Without what the display shows no number on the line can be told to be the weight.',
    todo: 'Teach it again, and type what the display shows when you are asked.',
  },
  disagree: {
    why: 'No number on its lines agrees with what the display showed.',
    todo: 'Teach it again, and type the display exactly, with its unit. If it says the same again, the number is sent in a way that can not be learnt.',
  },
  'several weights': {
    why: 'Several weights stand on its lines, and nothing showed which of them is the net weight on the display.',
    todo: "Teach it again, and use the scale's tare key when you are asked to.",
  },
  'too few loads': {
    why: 'The display was compared with the lines for less than two different things on the pan.',
    todo: 'Teach it again with two things of clearly different weight.',
  },
  'no unit': {
    why: 'The unit is not known.',
    todo: 'Teach it again, and type the unit behind the number (g, kg, mg, lb, oz, or gr for grain).',
  },
  'units differ': {
    why: 'The display showed different units.',
    todo: "Leave the scale's unit as it is, and teach it again.",
  },
  'odd texts': {
    why: 'Something on its lines changes in too many ways to be told from the weight.',
    todo: BY_HAND,
  },
};

export function whatToDo({ gap, disagree }: Extract<Study, { ok: false }>): Advice {
  const advice = ADVICE[gap];
  const [first] = disagree;
  if (gap !== 'disagree' || first?.heard.shown === undefined) return advice;
  return {
    ...advice,
    why: `No number on its lines agrees with what the display showed (such as "${first.heard.shown.slice(0, 20)}").`,
  };
}
