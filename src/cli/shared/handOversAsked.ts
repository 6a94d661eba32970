/** Hand-overs that are asked for when a batch is begun: `--hand-over C=dye_room`, several phases as `A,B=mix_room`. */
import { apply } from '../../facts/apply.ts';
import type { BatchState } from '../../facts/batchState.ts';
import { cleanText } from '../../facts/cleanText.ts';
import type { Happened } from '../../facts/fact.ts';
import { whyNotHandOver } from '../../facts/handOver.ts';
import { ROLE } from '../../workshop/historyAddress.ts';
import { Ending, EXIT } from '../exit.ts';
import { historyAddress } from './shared.ts';

export interface HandOverAsked {
  readonly phases: readonly string[];
  readonly to: string;
}

/** @throws Ending for what names no phases and bench, or where the workshop has no shared history */
export function handOversAsked(texts: readonly string[] = [], folder: string): readonly HandOverAsked[] {
  if (texts.length === 0) return [];
  const { role } = historyAddress(folder);
  return texts.map((text) => {
    const [names = '', to = '', ...more] = text.split('=');
    const phases = [...new Set(names.split(',').filter((phase) => phase !== ''))];
    if (phases.length > 0 && more.length === 0 && ROLE.test(to) && to !== role) return { phases, to };
    const shown = cleanText(text).slice(0, 60);
    throw new Ending(
      EXIT.wrongUse,
      `--hand-over wants phases and another bench, such as --hand-over C=dye_room; not "${shown}".`,
    );
  });
}

/** The facts that hand them over. @throws Ending where one can't be; nothing was written then */
export function handedOver(state: BatchState, asked: readonly HandOverAsked[]): readonly Happened[] {
  const said: Happened[] = [];
  let now = state;
  for (const { phases, to } of asked) {
    const why = whyNotHandOver(now, phases);
    if (why !== undefined) throw new Ending(EXIT.failed, `${why} Nothing was begun.`);
    const happened: Happened = { kind: 'handed-over', number: said.length + 1, phases, to };
    said.push(happened);
    now = apply(now, { ...happened, batch: now.batch, seq: 1, at: '', by: '' });
  }
  return said;
}
