/** Another bench weighs phases of this batch, and all that is left to do here needs them. */
import { weighingSetup } from '../chartSetup.ts';
import { onUndo } from './onUndo.ts';

export const elsewhere = weighingSetup.createStateConfig({
  description: 'All that is left needs what another bench weighs. It goes on when that is done and known here.',
  always: { guard: 'hasZeroShift', target: 'choosing' },
  on: {
    'part.done': {
      guard: 'isPartOut',
      target: 'recording',
      actions: { type: 'decide', params: ({ event }) => ({ of: () => [event.broughtIn] }) },
    },
    ...onUndo,
    'answer.stop': 'paused',
  },
});
