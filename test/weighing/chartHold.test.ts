/** From a hold and from a lot that ended short: nothing goes on without a named answer. */
import { giveUp, keep, lotEnded, pan, stop, yes } from './chartRig.ts';
import { begun, check, cupBegun, next, onBench } from './chartWalks.ts';
import { g } from './samplePlan.ts';

check('hold', [
  { why: 'takes no yes', from: 'hold.open', when: [yes], to: 'hold.open' },
  { why: 'takes no dwelling', from: 'hold.open', when: [pan.dwells('bench', 405)], to: 'hold.open' },
  { why: 'goes on holding while it moves', from: 'hold.open', when: [pan.moves('bench')], to: 'hold.open' },
  { why: 'keeps nothing that moves', from: 'hold.open', when: [pan.moves('bench'), keep()], to: 'hold.open' },
  {
    why: 'is over when less is too much still',
    from: 'hold.open',
    when: [pan.moves('bench'), pan.settles('bench', 403)],
    to: 'hold.open',
  },
  {
    why: 'has it in the log when even more went in',
    from: 'hold.open',
    when: [pan.moves('bench'), pan.settles('bench', 420)],
    to: 'hold.open',
    writes: [{ kind: 'held', net: g(120), over: g(18) }],
  },
  {
    why: 'taken back into the band, it is accepted with what was taken back',
    from: 'hold.open',
    when: [pan.moves('bench'), pan.settles('bench', 401), pan.dwells('bench', 401)],
    to: 'pouring.under',
    writes: [{ kind: 'weighed', net: g(101), takenBack: g(4), deviation: null }, next],
  },
  {
    why: 'too much taken back, it pours on',
    from: 'hold.open',
    when: [pan.settles('bench', 390)],
    to: 'pouring.under',
  },
  {
    why: 'lifted, it comes back to the hold',
    from: 'hold.open',
    when: [pan.empties('bench'), pan.settles('bench', 405)],
    to: 'hold.open',
  },
  {
    why: 'kept for a reason where the formula allows it',
    from: 'hold.open',
    when: [keep('melted in'), pan.dwells('bench', 405)],
    to: 'pouring.under',
    writes: [{ kind: 'weighed', net: g(105), how: 'key', deviation: { kind: 'over', reason: 'melted in' } }, next],
  },
  {
    why: 'never kept where it may never be over',
    from: onBench(cupBegun, pan.settles('fine', 35.2)),
    when: [keep()],
    to: 'hold.open',
  },
  { why: 'may be given up', from: 'hold.open', when: [giveUp], to: 'givingUp' },
  { why: 'stopped and taken up, it holds again', from: 'hold.open', when: [stop, yes], to: 'hold.open' },
  {
    why: 'has it in the log when its scale is lost',
    from: 'hold.open',
    when: [pan.isSilent('bench')],
    to: 'blind',
    writes: [{ kind: 'scale-lost' }],
  },
]);

check('short', [
  { why: 'pours on when more was found', from: 'short', when: [yes], to: 'pouring.under' },
  { why: 'pours on when something moves', from: 'short', when: [pan.moves('bench')], to: 'pouring.moving' },
  {
    why: 'kept for a reason',
    from: 'short',
    when: [keep('none left'), pan.dwells('bench', 350)],
    to: 'pouring.under',
    writes: [{ kind: 'weighed', net: g(50), lotEnded: true, deviation: { kind: 'under', reason: 'none left' } }, next],
  },
  { why: 'takes no dwelling', from: 'short', when: [pan.dwells('bench', 350)], to: 'short' },
  { why: 'keeps no weight of nothing', from: onBench(begun, lotEnded), when: [keep()], to: 'short' },
  {
    why: 'keeps nothing that a lighter vessel seems to weigh',
    from: 'short',
    when: [pan.settles('bench', 150), keep()],
    to: 'short',
  },
  {
    why: 'a draw that may never be over is not kept short either',
    from: onBench(cupBegun, pan.settles('fine', 33), lotEnded),
    when: [keep()],
    to: 'short',
  },
  { why: 'may be given up', from: 'short', when: [giveUp], to: 'givingUp' },
  { why: 'stops', from: 'short', when: [stop], to: 'paused' },
  {
    why: 'has it in the log when its scale is lost',
    from: 'short',
    when: [pan.isInTrouble('bench', 'fault')],
    to: 'blind',
    writes: [{ kind: 'scale-lost', say: 'The bench scale reports a fault of its own.' }],
  },
]);
