/** The keys that portioning offers now. */

import { lastBar, mayKeep, mayLeaveOver } from '../../portion/answers.ts';
import type { Portion } from '../../portion/model.ts';
import { mayBeLiner } from '../../portion/onPan.ts';
import type { Choice } from '../view.ts';
import type { AroundPortion } from './portionView.ts';

const leave: Choice = { key: 'q', label: 'leave, go on later' };

export function choicesOf(state: Portion, { page, failure, settled }: AroundPortion): Choice[] {
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
  if (mayBeLiner(state)) return [{ key: 'l', label: 'a liner that stays' }, leave];
  return [
    ...(lastBar(state) === undefined
      ? []
      : [
          ...(inHand === null ? [{ key: 'u', label: `bar ${lastBar(state)} back` }] : []),
          { key: 'a', label: 'pressed again' },
          { key: 'j', label: 'press jam' },
          { key: 'p', label: 'pull a bar' },
        ]),
    { key: 'e', label: 'no more bars' },
    leave,
  ];
}
