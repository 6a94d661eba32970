/** Every transition that a chart's definition has, by name: `pouring.under --answer.lot-ended--> short`. */
import type { AnyStateMachine, AnyStateNode, AnyTransitionDefinition } from 'xstate';

/** All transitions, named; two that differ only in their guard are told apart by a number. */
export function transitionsOf(machine: AnyStateMachine): ReadonlyMap<AnyTransitionDefinition, string> {
  const named = new Map<AnyTransitionDefinition, string>();
  const used = new Map<string, number>();
  const visit = (node: AnyStateNode): void => {
    for (const transition of [...(node.always ?? []), ...[...node.transitions.values()].flat()]) {
      const name = nameOf(node, transition);
      const times = (used.get(name) ?? 0) + 1;
      used.set(name, times);
      named.set(transition, times === 1 ? name : `${name} (${times})`);
    }
    for (const child of Object.values(node.states)) visit(child);
  };
  visit(machine.root);
  return named;
}

/** All states that a chart can rest in or pass through. */
export function statesOf(machine: AnyStateMachine): readonly string[] {
  const names: string[] = [];
  const visit = (node: AnyStateNode): void => {
    if (Object.keys(node.states).length === 0) names.push(node.path.join('.'));
    for (const child of Object.values(node.states)) visit(child);
  };
  visit(machine.root);
  return names;
}

function nameOf(node: AnyStateNode, { eventType, target }: AnyTransitionDefinition): string {
  const from = node.path.join('.') || '(anywhere)';
  const to = target?.map(({ path }) => path.join('.')).join() ?? '(stays)';
  return `${from} --${eventType || 'always'}--> ${to}`;
}
