/** What was accepted last is taken back: the same answer wherever it is open. */
import * as say from '../happened.ts';
import type { UndoScene } from '../undoing.ts';

export const onUndo = {
  'answer.undo': {
    guard: 'mayUndo',
    target: '#weighing.recording',
    actions: { type: 'decide', params: { of: (scene: UndoScene) => say.undone(scene, 'key') } },
  },
} as const;
