/** From tipping the cup: where things lead, and what is written. */
import { keep, pan, stop, yes } from './chartRig.ts';
import { check } from './chartWalks.ts';
import { g } from './samplePlan.ts';

check('tipping', [
  { why: 'waits for the cup', from: 'tipping.waiting', when: [pan.moves('fine')], to: 'tipping.waiting' },
  {
    why: 'is not tipped as long as most is in it',
    from: 'tipping.waiting',
    when: [pan.settles('fine', 35)],
    to: 'tipping.waiting',
  },
  { why: 'is back, nearly empty', from: 'tipping.waiting', when: [pan.settles('fine', 30.05)], to: 'tipping.clean' },
  {
    why: 'is back, but too little has left it',
    from: 'tipping.waiting',
    when: [pan.settles('fine', 30.5)],
    to: 'tipping.clinging',
  },
  { why: 'is another cup', from: 'tipping.waiting', when: [pan.settles('fine', 25)], to: 'tipping.waiting' },
  { why: 'takes no yes without the cup', from: 'tipping.waiting', when: [yes], to: 'tipping.waiting' },
  {
    why: 'believes no cup while the zero is in doubt',
    from: 'tipping.waiting',
    when: [pan.settles('fine', 30.05, false)],
    to: 'tipping.waiting',
  },
  {
    why: 'is written down by dwelling; then the batch is done',
    from: 'tipping.clean',
    when: [pan.dwells('fine', 30.04)],
    to: 'ended',
    writes: [{ kind: 'tipped', draw: 'C1', vessel: 'bowl', residue: g(0.04), deviation: null }, { kind: 'finished' }],
  },
  {
    why: 'is written down by a key',
    from: 'tipping.clean',
    when: [yes],
    to: 'ended',
    writes: [{ kind: 'tipped', residue: g(0.05) }, { kind: 'finished' }],
  },
  {
    why: 'a little lighter than before, it is empty',
    from: 'tipping.waiting',
    when: [pan.settles('fine', 29.98), yes],
    to: 'ended',
    writes: [{ kind: 'tipped', residue: g(0) }, { kind: 'finished' }],
  },
  { why: 'lifted again', from: 'tipping.clean', when: [pan.moves('fine')], to: 'tipping.waiting' },
  {
    why: 'creeps up: too much in it after all',
    from: 'tipping.clean',
    when: [pan.settles('fine', 30.9)],
    to: 'tipping.clinging',
  },
  { why: 'lifted to be tipped again', from: 'tipping.clinging', when: [pan.moves('fine')], to: 'tipping.waiting' },
  {
    why: 'creeps down: clean after all',
    from: 'tipping.clinging',
    when: [pan.settles('fine', 30.05)],
    to: 'tipping.clean',
  },
  { why: 'takes no yes for what clings', from: 'tipping.clinging', when: [yes], to: 'tipping.clinging' },
  {
    why: 'takes no dwelling for what clings',
    from: 'tipping.clinging',
    when: [pan.dwells('fine', 30.9)],
    to: 'tipping.clinging',
  },
  {
    why: 'what clings is kept for a reason',
    from: 'tipping.clinging',
    when: [keep('too sticky')],
    to: 'ended',
    writes: [
      { kind: 'tipped', residue: g(0.9), deviation: { kind: 'residue', reason: 'too sticky' } },
      { kind: 'finished' },
    ],
  },
  { why: 'stops', from: 'tipping.clean', when: [stop], to: 'paused' },
  {
    why: 'has it in the log, once, when its scale is lost',
    from: 'tipping.clean',
    when: [pan.isSilent('fine')],
    to: 'blind',
    writes: [{ kind: 'scale-lost', scale: 'fine', draw: 'C1' }],
  },
  {
    why: 'goes on tipping when its scale is back',
    from: 'tipping.waiting',
    when: [pan.isSilent('fine'), pan.isFresh('fine')],
    to: 'tipping.waiting',
    writes: [{ kind: 'scale-lost' }, { kind: 'scale-back', scale: 'fine', draw: 'C1' }],
  },
]);
