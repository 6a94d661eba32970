/**
 * Which of the candidates that can be done is taken. What is asked first decides; what is alike in all is taken in the
 * order of the candidates.
 *
 *  1. What must never be over goes through a cup, whatever else speaks for the bowl.
 *  2. Fewer weighings.
 *  3. A scale that needs no guard band.
 *  4. The simpler way: add, then cup, then subtract.
 *  5. The sturdier scale under a bowl (the coarser, then the one that carries more); the finer under a cup or a jar.
 *  6. The vessel that is being filled before the next; the smaller cup.
 */
import type { Candidate, ToPlace } from './candidate.ts';

interface Question {
  /** Less is better. */
  readonly rank: (candidate: Candidate, to: ToPlace) => number;
  /** Why the one that is worse here is not taken: completes "works, but". */
  readonly worse: (candidate: Candidate, chosen: Candidate) => string;
}

const WAY_RANK = { add: 0, cup: 1, subtract: 2 } as const;

const QUESTIONS: readonly Question[] = [
  {
    rank: ({ way }, { draw }) => (draw.over === 'never' && way !== 'cup' ? 1 : 0),
    worse: () => 'what must never be over is better checked in a cup',
  },
  {
    rank: ({ pieces }) => pieces.length,
    worse: ({ pieces }, chosen) => `it takes ${pieces.length} weighings, not ${chosen.pieces.length}`,
  },
  {
    rank: ({ fit }) => (fit.judged.guard > 0 ? 1 : 0),
    worse: ({ scale }) => `the ${scale.id} scale is only just good enough, and would narrow the band`,
  },
  {
    rank: ({ way }) => WAY_RANK[way],
    worse: ({ way }, chosen) => `${chosen.way} is simpler than ${way}`,
  },
];

/** Whether a candidate can be done. */
export function works({ obstacles }: Candidate): boolean {
  return obstacles.length === 0;
}

/** The first question on which two candidates differ, with how they do; below zero: `a` is better. */
function compare(to: ToPlace, a: Candidate, b: Candidate): { readonly by: number; readonly question?: Question } {
  for (const question of QUESTIONS) {
    const by = question.rank(a, to) - question.rank(b, to);
    if (by !== 0) return { by, question };
  }
  return { by: 0 };
}

/** The best of the candidates that can be done; they come in the order of the last two questions. */
export function preferred(to: ToPlace, candidates: readonly Candidate[]): Candidate | undefined {
  let best: Candidate | undefined;
  for (const candidate of candidates) {
    if (!works(candidate)) continue;
    if (!best || compare(to, candidate, best).by < 0) best = candidate;
  }
  return best;
}

/** Why a candidate that would work was not taken: completes "works, but". */
export function whyNot(to: ToPlace, candidate: Candidate, chosen: Candidate): string {
  const { question } = compare(to, chosen, candidate);
  if (question) return question.worse(candidate, chosen);
  if (candidate.scale !== chosen.scale) {
    const better = candidate.way === 'add' ? 'the sturdier scale that is good enough' : 'the finer scale';
    return `${chosen.scale.id} is ${better}`;
  }
  return `${chosen.on[0]?.name ?? 'another vessel'} comes first`;
}
