/** What a plan keeps of its lots' papers: a batch is costed and its jars are told by what was known when it was begun. */
import type { Workshop } from '../workshop/model.ts';
import { isUsable } from './lots.ts';
import type { Plan, PlannedLot, Task } from './model.ts';

/** A price that was read from decimal text, as such text again: all prices have fewer digits than a number keeps. */
export function priceText(price: number): string {
  return price.toFixed(6).replace(/\.?0+$/, '');
}

/** Papers of every lot that the batch may be drawn from. @param today `YYYY-MM-DD` */
export function lotPapers(workshop: Workshop, tasks: readonly Task[], today: string): Pick<Plan, 'lots' | 'currency'> {
  const planned = new Set(tasks.flatMap((task) => (task.kind === 'draw' ? [`${task.ingredient} ${task.lot}`] : [])));
  const ingredients = new Set(tasks.flatMap((task) => (task.kind === 'draw' ? [task.ingredient] : [])));
  const lots = [...ingredients].map((ingredient) => {
    const may = (workshop.ingredients.get(ingredient)?.lots ?? []).filter(
      (lot) => planned.has(`${ingredient} ${lot.id}`) || (lot.onHand > 0 && isUsable(lot, today)),
    );
    const papers = may.map(({ id, pricePerKg, supplierLot, expires }): [string, PlannedLot] => [
      id,
      {
        ...(pricePerKg === undefined ? {} : { pricePerKg: priceText(pricePerKg) }),
        ...(supplierLot === undefined ? {} : { supplierLot }),
        ...(expires === undefined ? {} : { expires }),
      },
    ]);
    return [ingredient, Object.fromEntries(papers)];
  });
  const { currency } = workshop;
  return { lots: Object.fromEntries(lots), ...(currency === undefined ? {} : { currency }) };
}

/** The papers of a lot; undefined where the plan has none. */
export function papersOf({ lots }: Pick<Plan, 'lots'>, ingredient: string, lot: string): PlannedLot | undefined {
  const own = lots && Object.hasOwn(lots, ingredient) ? lots[ingredient] : undefined;
  return own && Object.hasOwn(own, lot) ? own[lot] : undefined;
}
