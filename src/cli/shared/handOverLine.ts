/** Facts about phases that another bench weighs, each in one line. */
import type { Fact } from '../../facts/fact.ts';
import type { Plan } from '../../plan/model.ts';

type HandOverFact = Extract<
  Fact,
  { kind: 'handed-over' | 'calling-back' | 'called-back' | 'brought-in' | 'joined' | 'join-confirmed' }
>;

/** @param plan the batch's, for the names of phases */
export function handOverLine(fact: HandOverFact, plan: Plan | undefined): string {
  switch (fact.kind) {
    case 'handed-over':
      return `${phasesSay(fact.phases, plan)} handed over to ${fact.to} (hand-over ${fact.number})`;
    case 'calling-back':
      return `hand-over ${fact.number} is wanted back`;
    case 'called-back':
      return `hand-over ${fact.number} taken back${fact.reason === null ? '' : `: ${fact.reason}`}`;
    case 'brought-in': {
      const draws = fact.facts.filter(({ kind }) => kind === 'weighed').length;
      return `brought in from ${fact.role}, batch ${fact.part} there: ${draws === 1 ? '1 weight' : `${draws} weights`}, up to its fact ${fact.seal.seq}`;
    }
    case 'joined':
      return `part of ${fact.role}/${fact.of} (hand-over ${fact.number})${fact.broughtInto === undefined ? '' : `; brought in there`}`;
    case 'join-confirmed':
      return 'the shared history has the joining: this part is weighed here';
  }
}

/** `phase C, Powders`; `phases C, Powders, and D, Surfactants`. */
export function phasesSay(phases: readonly string[], plan: Pick<Plan, 'phases'> | undefined): string {
  const named = phases.map((id) => {
    const name = plan?.phases.find((phase) => phase.id === id)?.name;
    return name === undefined || name === '' || name === id ? id : `${id}, ${name}`;
  });
  return `phase${named.length > 1 ? 's' : ''} ${named.join(' and ')}`;
}
