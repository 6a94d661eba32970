/** The maker's eyes and keys on the program's screen. */
import { glanceAt } from './glance.ts';
import type { Program } from './maker.ts';
import type { SeenProgram } from './seenProgram.ts';

export function onScreen(program: SeenProgram): Program {
  return {
    look: async () => glanceAt(await program.screen()),
    press: (key) => program.press(key),
    seen: async () => `${program.hasExited ? '(the program has ended)\n' : ''}${await program.screen()}`,
  };
}
