/** How a hand answers a cue. */

/**
 * From the word or the tone until the hand has stopped, milliseconds (common practice, no source). What a hand is off
 * this at the flow that it stops at is learnt with the after-run.
 */
export const REACTION_MS = 350;
