/** How a formula writes the band of a draw: `2 %`, `0.05 g`, or each side by itself. */
import { z } from 'zod';
import { readMassWithUnit } from '../mass/text.ts';
import { massOf, quantity, readPercent } from '../workshop/quantities.ts';
import { WHOLE } from './checkFormula.ts';
import type { Tolerance } from './model.ts';

type Side = Tolerance['under'];

const side: z.ZodType<Side, string> = quantity<Side>(
  'a band such as `2 %` or `0.05 g`',
  (text) => {
    const ppm = readPercent(text);
    if (ppm !== undefined) return { ppm };
    const mass = readMassWithUnit(text);
    return mass === undefined ? undefined : { mass };
  },
  (value) => {
    if ('mass' in value) return value.mass > 0 ? undefined : 'a band above zero';
    return value.ppm > 0 && value.ppm < WHOLE ? undefined : 'a band above 0 % and below 100 %';
  },
);

/** A band; both sides alike, or `{under: 5 %, over: 2 %, at least: 0.02 g}`. */
export const band: z.ZodType<Tolerance, unknown> = z.union(
  [
    side.transform((both): Tolerance => ({ under: both, over: both, floor: undefined })),
    z
      .strictObject({ under: side, over: side, 'at least': massOf('0.02 g').optional() })
      .transform(({ under, over, 'at least': floor }): Tolerance => ({ under, over, floor })),
  ],
  'a band such as `2 %`, `0.05 g` or `{under: 5 %, over: 2 %, at least: 0.02 g}`',
);
