/** What a formula says for the label: the net weight, whether it is rinsed off, how much it dries. */
import { z } from 'zod';
import { readMassWithUnit } from '../mass/text.ts';
import { percent, quantity } from '../workshop/quantities.ts';
import type { FormulaLabel, NetDeclared } from './model.ts';

const EXAMPLE = 'a net weight such as `70 g` or `2.5 oz`, from 0.01 oz to below 100 kg';
/** A hundredth of an ounce, 283 495.23125 micrograms: with less, the US line would say that there is nothing. */
const LEAST = 283_495;

/** Reads a net weight as it is to be printed; undefined for anything else, and for ounces past two decimals. */
export function readNet(text: string): NetDeclared | undefined {
  const found = /^(\d{1,6}(?:\.\d{1,3})?)\s*(g|kg|oz|lb)$/.exec(text.trim());
  const [, number, unit] = found ?? [];
  if (number === undefined || (unit !== 'g' && unit !== 'kg' && unit !== 'oz' && unit !== 'lb')) return undefined;
  const mass = readMassWithUnit(`${number} ${unit}`) ?? 0;
  if (mass < LEAST || mass >= 100_000_000_000) return undefined;
  return (unit === 'oz' || unit === 'lb') && /\.\d{3}/.test(number) ? undefined : { number, unit };
}

/** The schema of a formula's key `label`. */
export const labelKey: z.ZodType<FormulaLabel, unknown> = z
  .strictObject({
    net: quantity(EXAMPLE, readNet).optional(),
    use: z.enum(['rinse-off', 'leave-on'], '`rinse-off` or `leave-on`').optional(),
    dried: percent('4.5 %', (ppm) =>
      ppm >= 0 && ppm <= 500_000 ? undefined : 'a loss in drying of 0 % to 50 %',
    ).optional(),
  })
  .transform(({ net, use, dried }): FormulaLabel => ({ net, use, dryingPpm: dried }));
