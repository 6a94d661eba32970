/** Stopping, giving up, ending the batch. */
import { expect } from 'vitest';
import { abandon, giveUp, pan, stop, yes } from './chartRig.ts';
import { add, begun, check, cupBegun, cupFull, gathered, next, onBench, stepOf } from './chartWalks.ts';
import { dye, firstBag, g, placing, weighing } from './samplePlan.ts';

check('givingUp', [
  { why: 'asks once more, and may be taken back', from: 'givingUp', when: [stop], to: 'hold.open' },
  {
    why: 'gives up the vessel with all draws in it',
    from: 'givingUp',
    when: [yes],
    to: 'placing',
    writes: [
      { kind: 'discarded', draw: 'A1', lot: 'lot A1', amount: g(105) },
      { kind: 'given-up', vessel: 'bowl', draws: ['A1'] },
    ],
  },
  {
    why: 'names what was in it when the maker decided, whatever is on the pan by now',
    from: 'givingUp',
    when: [pan.moves('bench'), pan.empties('bench'), yes],
    to: 'placing',
    writes: [{ kind: 'discarded', amount: g(105) }, { kind: 'given-up' }],
  },
  {
    why: 'counts what was taken back out of it before: that has left the lot too',
    from: 'hold.open',
    when: [pan.moves('bench'), pan.settles('bench', 403), pan.dwells('bench', 403), giveUp, yes],
    to: 'placing',
    writes: [{ kind: 'discarded', draw: 'A1', amount: g(105) }, { kind: 'given-up' }],
  },
  {
    why: 'with an earlier draw in the vessel, that is to be done again too',
    from: {
      log: [gathered, placing(add, g(300)), weighing(add, g(300), g(100)), placing(firstBag, g(400))],
      events: [pan.settles('bench', 430), stop, giveUp],
    },
    when: [yes],
    to: 'placing',
    writes: [
      { kind: 'discarded', draw: 'A2.1', amount: g(30) },
      { kind: 'given-up', draws: ['A1', 'A2.1'] },
    ],
  },
  {
    why: 'of a vessel lifted off before anything rested in it: the draw begins anew, the amount is not known',
    from: onBench(begun, pan.moves('bench'), stop, giveUp),
    when: [yes],
    to: 'placing',
    writes: [
      { kind: 'discarded', amount: g(0), reason: expect.stringContaining('not known') },
      { kind: 'given-up', draws: ['A1'] },
    ],
  },
  {
    why: 'of an over-pour lifted off: the most that rested in it',
    from: onBench(cupBegun, pan.settles('fine', 35.6), pan.moves('fine'), giveUp),
    when: [yes],
    to: 'placing',
    writes: [{ kind: 'discarded', draw: 'C1', amount: g(5.6) }],
  },
  {
    why: 'of nothing taken yet: nothing to write',
    from: onBench(cupBegun, stop, giveUp),
    when: [yes],
    to: 'pouring.under',
    writes: [],
  },
  {
    why: 'of a vessel not placed yet: nothing of this draw is lost',
    from: { log: [gathered], events: [stop, giveUp] },
    when: [yes],
    to: 'placing',
    writes: [{ kind: 'given-up', vessel: 'bowl', draws: [] }],
  },
  {
    why: 'of a little in a vessel: it has to be lifted off and emptied, however like a clean one it weighs',
    from: onBench(begun, pan.settles('bench', 300.9), stop, giveUp),
    when: [yes, pan.settles('bench', 300.9)],
    to: 'placing',
    writes: [{ kind: 'discarded', amount: g(0.9) }, { kind: 'given-up' }],
  },
  {
    why: 'of a little in a vessel: what is poured onto it before it was emptied begins nothing',
    from: onBench(begun, pan.settles('bench', 300.9), stop, giveUp),
    when: [yes, pan.settles('bench', 350), pan.dwells('bench', 350)],
    to: 'placing',
    writes: [{ kind: 'discarded', amount: g(0.9) }, { kind: 'given-up' }],
  },
  {
    why: 'of a little in a vessel, once that was lifted off: it is placed anew',
    from: onBench(begun, pan.settles('bench', 300.9), stop, giveUp),
    when: [yes, pan.empties('bench'), pan.settles('bench', 300), pan.dwells('bench', 300)],
    to: 'pouring.under',
    writes: [{ kind: 'discarded' }, { kind: 'given-up' }, { kind: 'placed', load: g(300) }],
  },
  {
    why: 'of a full cup: all that was accepted',
    from: onBench(cupFull, stop, giveUp),
    when: [yes],
    to: 'placing',
    writes: [{ kind: 'discarded', draw: 'C1', lot: 'lot C1', amount: g(5) }],
  },
  {
    why: 'of what is on the spoon: the jar is not given up',
    from: { tasks: [dye], log: [gathered, placing(dye, g(80))], events: [pan.settles('fine', 79.1), giveUp] },
    when: [yes, pan.dwells('fine', 79.1)],
    to: 'pouring.under',
    writes: [
      { kind: 'discarded', draw: 'B1', amount: g(0.9) },
      { kind: 'placed', load: g(79.1) },
    ],
  },
]);

check('paused', [
  { why: 'goes on where it was', from: 'paused', when: [yes], to: 'pouring.under' },
  {
    why: 'accepts nothing',
    from: 'paused',
    when: [pan.settles('bench', 400), pan.dwells('bench', 400)],
    to: 'paused',
  },
  {
    why: 'accepted then what dwelt in the band meanwhile',
    from: 'paused',
    when: [pan.settles('bench', 400), pan.dwells('bench', 400), yes],
    to: 'pouring.under',
    writes: [{ kind: 'weighed', net: g(100) }, next],
  },
  { why: 'may give up', from: 'paused', when: [giveUp], to: 'givingUp' },
  { why: 'has nothing to give up in a step', from: onBench(stepOf(), stop), when: [giveUp], to: 'paused' },
  { why: 'may end the batch', from: 'paused', when: [abandon], to: 'abandoning' },
]);

check('abandoning', [
  { why: 'asks once more', from: 'abandoning', when: [stop], to: 'paused' },
  { why: 'ends it', from: 'abandoning', when: [yes], to: 'ended', writes: [{ kind: 'abandoned' }] },
]);
