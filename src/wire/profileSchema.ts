/** The shape of a wire profile's file. Keys are plain words; a key that is not here is a mistake. */
import { z } from 'zod';
import type { Unit } from '../mass/units.ts';
import { PLACE } from './speak.ts';

const unit = z.enum(['kg', 'g', 'mg', 'lb', 'oz', 'gr'] as const satisfies readonly Unit[]);
const word = z.string('a word in text; put it in quotes').min(1).max(24);
const TEXT = /^[\x20-\x7e]+$/;

/** A regular expression that fits the whole line and has the group `number`, or a problem that says why not. */
const pattern = z.string('a regular expression in single quotes').transform((text, context) => {
  const expected = (message: string) => {
    context.addIssue({ code: 'custom', message });
    return z.NEVER;
  };
  for (const [, name = ''] of text.matchAll(/\(\?<([A-Za-z]\w*)>/g)) {
    if (!['number', 'sign', 'unit', 'status'].includes(name)) {
      return expected(`no other groups than number, sign, unit and status (not ${name})`);
    }
  }
  if (!text.includes('(?<number>')) return expected('a group (?<number>...) around the digits');
  try {
    return new RegExp(`^(?:${text})$`, 'u');
  } catch (error) {
    const why = error instanceof Error ? error.message.replace(/^.*\/u?: /, '') : '';
    return expected(`a regular expression (this one is broken: ${why})`);
  }
});

const template = z
  .string('text with the places {status}, {sign}, {minus}, {number} and {unit}')
  .min(1)
  .max(80)
  .refine((text) => TEXT.test(text) && !/[{}]/.test(text.replace(PLACE, '')), {
    message: 'only the places {status}, {sign}, {minus}, {number} and {unit}, with a width such as {number:8}',
  });

export const profileSchema = z
  .strictObject({
    describes: z.string('a sentence on the shape of the lines').min(1).max(400),
    serial: z.strictObject({
      baud: z
        .number('bits per second, such as 9600')
        .int()
        .refine((baud) => baud >= 110 && baud <= 1_000_000, { message: 'bits per second, 110 to 1000000' }),
      'data bits': z.union([z.literal(7), z.literal(8)], '7 or 8').default(8),
      parity: z.enum(['none', 'even', 'odd']).default('none'),
      'stop bits': z.union([z.literal(1), z.literal(2)], '1 or 2').default(1),
    }),
    ending: z.enum(['crlf', 'lf', 'cr']),
    rhythm: z.enum(['continuous', 'on-change', 'asked']),
    'lines per second': z.number('lines per second, such as 10').min(0.1).max(200),
    pattern,
    decimal: z.enum(['point', 'comma']).default('point'),
    status: z.record(word, z.enum(['stable', 'moving', 'over-range', 'under-range', 'fault'])).default({}),
    'no status': z.enum(['stable', 'moving']).optional(),
    units: z.record(word, unit).default({}),
    'no unit': z.strictObject({ unit, means: z.literal('moving').optional() }).optional(),
    ask: z
      .strictObject({
        send: z
          .string('what to send, without the line ending')
          .max(24)
          .regex(/^[\x20-\x7e]*$/, 'printable ASCII'),
        'every ms': z.number('milliseconds between two questions').int().min(20).max(5000),
      })
      .optional(),
    writes: z.strictObject({ weight: template, 'no weight': template.optional() }),
    examples: z
      .array(
        z.strictObject({
          line: z.string('a line as the scale sends it, in single quotes'),
          means: z.string('its meaning, such as `12.5 g stable`, `over-range` or `refused`'),
        }),
      )
      .min(1),
  })
  .superRefine((file, context) => {
    const complain = (path: string, message: string) => context.addIssue({ code: 'custom', path: [path], message });
    if (file.rhythm === 'asked' && !file.ask)
      complain('ask', 'what to send and how often, because the rhythm is asked');
    if (file.rhythm !== 'asked' && file.ask) complain('ask', 'no question, because the rhythm is not asked');
    if (Object.keys(file.units).length === 0 && !file['no unit']) {
      complain('units', 'at least one unit word, or what a line without a unit means');
    }
    if (file['no unit']?.means === 'moving' && Object.keys(file.units).length === 0) {
      complain('units', 'the unit words that mean "settled"');
    }
  });

export type ProfileFile = z.infer<typeof profileSchema>;
