/** From gathering and from placing the vessel: where things lead, and what is written. */
import { pan, stop, yes } from './chartRig.ts';
import { begun, check, cupBegun, gathered, onBench } from './chartWalks.ts';
import { g, oil, placing } from './samplePlan.ts';

check('gathering', [
  { why: 'begins', from: 'gathering', when: [yes], to: 'placing', writes: [{ kind: 'gathered' }] },
  { why: 'stops', from: 'gathering', when: [stop], to: 'paused' },
  { why: 'does not care for pans', from: 'gathering', when: [pan.settles('bench', 300)], to: 'gathering' },
]);

check('placing', [
  {
    why: 'takes the right vessel by its weight, and has it in the log before anything is poured',
    from: 'placing',
    when: [pan.settles('bench', 300.3), pan.dwells('bench', 300.4)],
    to: 'pouring.under',
    writes: [{ kind: 'placed', draw: 'A1', vessel: 'bowl', scale: 'bench', load: g(300.4), unusual: false }],
  },
  {
    why: 'does not begin with a weight that has not stood long enough: a slow scale creeps',
    from: 'placing',
    when: [pan.settles('bench', 300.3), pan.settles('bench', 300.4)],
    to: 'placing',
  },
  {
    why: 'counts what is poured without waiting for that, from the first level',
    from: 'placing',
    when: [pan.settles('bench', 300.3), pan.moves('bench'), pan.settles('bench', 350)],
    to: 'pouring.under',
    writes: [{ kind: 'placed', load: g(300.3), unusual: false }],
  },
  {
    why: 'holds what is poured too much in that way',
    from: 'placing',
    when: [pan.settles('bench', 300.3), pan.moves('bench'), pan.settles('bench', 410)],
    to: 'hold.open',
    writes: [
      { kind: 'placed', load: g(300.3) },
      { kind: 'held', net: g(109.7) },
    ],
  },
  {
    why: 'does not take for a pour that another vessel comes instead',
    from: 'placing',
    when: [pan.settles('bench', 300.3), pan.moves('bench'), pan.settles('bench', 150.1)],
    to: 'placing',
  },
  {
    why: 'does not take for a pour what came on an empty pan',
    from: 'placing',
    when: [pan.settles('bench', 300.3), pan.moves('bench'), pan.empties('bench'), pan.settles('bench', 350)],
    to: 'placing',
  },
  {
    why: 'waits on while the vessel is only pushed about',
    from: 'placing',
    when: [pan.settles('bench', 300.3), pan.moves('bench'), pan.settles('bench', 300.6)],
    to: 'placing',
  },
  {
    why: 'begins with the first level where something trickles in without a motion',
    from: 'placing',
    when: [300.3, 300.5, 300.7, 300.9].map((load) => pan.settles('bench', load)),
    to: 'pouring.under',
    writes: [{ kind: 'placed', load: g(300.3) }],
  },
  {
    why: 'does not take for such a trickle what crept under the draw before',
    from: onBench(begun, ...[350, 400].map((load) => pan.settles('bench', load)), yes),
    when: [pan.dwells('bench', 400.1)],
    to: 'pouring.under',
    writes: [{ kind: 'placed', draw: 'A2.1', load: g(400.1) }],
  },
  { why: 'waits while it moves', from: 'placing', when: [pan.moves('bench')], to: 'placing' },
  { why: 'refuses another vessel', from: 'placing', when: [pan.settles('bench', 150.1)], to: 'placing' },
  {
    why: 'takes no yes for another vessel of the plan',
    from: 'placing',
    when: [pan.settles('bench', 150.1), yes],
    to: 'placing',
  },
  { why: 'takes no yes for an empty pan', from: 'placing', when: [yes], to: 'placing' },
  {
    why: "takes the maker's word for a vessel that no other is like",
    from: 'placing',
    when: [pan.settles('bench', 310), yes],
    to: 'pouring.under',
    writes: [{ kind: 'placed', load: g(310), unusual: true }],
  },
  { why: 'wants the zero proved', from: 'placing', when: [pan.settles('bench', 310, false)], to: 'placing' },
  {
    why: 'takes no yes instead of the proof',
    from: 'placing',
    when: [pan.settles('bench', 310, false), yes],
    to: 'placing',
  },
  {
    why: 'takes the known weight itself for the proof',
    from: 'placing',
    when: [pan.settles('bench', 300, false), pan.dwells('bench', 300, false, false)],
    to: 'pouring.moving',
    writes: [{ kind: 'placed', load: g(300) }],
  },
  {
    why: 'is not deceived by the right weight on the other scale',
    from: 'placing',
    when: [pan.settles('fine', 300)],
    to: 'placing',
  },
  { why: 'goes blind with its scale', from: 'placing', when: [pan.isInTrouble('bench')], to: 'blind' },
  { why: 'does not go blind with the other scale', from: 'placing', when: [pan.isSilent('fine')], to: 'placing' },
  { why: 'stops', from: 'placing', when: [stop], to: 'paused' },
  {
    why: 'goes on with a draw that was begun, when its vessel comes back with some in it',
    from: onBench(begun, pan.settles('bench', 350), pan.empties('bench')),
    when: [pan.settles('bench', 360)],
    to: 'pouring.under',
  },
  {
    why: 'takes no yes for a vessel that can not be the one begun with',
    from: onBench(begun, pan.empties('bench')),
    when: [pan.settles('bench', 250), yes],
    to: 'placing',
  },
  {
    why: "takes the maker's word for far too much in the vessel begun with: it is held",
    from: onBench(begun, pan.empties('bench')),
    when: [pan.settles('bench', 520), yes],
    to: 'hold.open',
    writes: [{ kind: 'held', draw: 'A1', net: g(220), over: g(118) }],
  },
  {
    why: 'weighs a cup that was wiped after it was placed from what it is then',
    from: { ...cupBegun, log: [gathered, placing(oil, g(30.1))], events: [pan.empties('fine')] },
    when: [pan.settles('fine', 30), pan.dwells('fine', 30)],
    to: 'pouring.under',
    writes: [{ kind: 'placed', load: g(30) }],
  },
]);
