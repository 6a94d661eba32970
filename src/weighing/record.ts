/** The actor that writes facts. The chart knows only this shape; the station hands in the real one. */
import { fromPromise } from 'xstate';
import type { Fact, Happened } from '../facts/fact.ts';

export interface RecordInput {
  readonly batch: string;
  readonly happened: readonly Happened[];
}

/** Resolves with the facts once they are on the disk; rejects with an Error whose message is for the maker. */
export const recordFacts = fromPromise<readonly Fact[], RecordInput>(async () => {
  throw new Error('no batch log was handed in');
});
