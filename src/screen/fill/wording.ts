/** What is said at a moment: one headline, one sentence, a few smaller lines. */
import type { Mood } from '../view.ts';

export interface Words {
  readonly mood: Mood;
  readonly headline: string;
  readonly say: string;
  readonly detail: readonly string[];
}

export function words(mood: Mood, headline: string, say: string, detail: readonly string[] = []): Words {
  return { mood, headline, say, detail };
}
