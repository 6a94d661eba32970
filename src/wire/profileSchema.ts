/** The shape of a wire profile's file. Keys are plain words; a key that is not here is a mistake. */
import { z } from 'zod';
import type { Unit } from '../mass/units.ts';
import { ENDING_TEXT } from './framing.ts';
import { isCheap } from './patternCost.ts';
import { readPattern } from './patternSyntax.ts';
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
  let compiled: RegExp;
  try {
    compiled = new RegExp(`^(?:${text})$`, 'u');
  } catch (error) {
    const why = error instanceof Error ? error.message.replace(/^.*\/u?: /, '') : '';
    return expected(`a regular expression (this one is broken: ${why})`);
  }
  const tree = readPattern(text);
  if (typeof tree === 'string') return expected(tree);
  if (!isCheap(tree)) {
    return expected(
      'a pattern in which at most two repeats can take the same characters: a long line would keep this one busy',
    );
  }
  return compiled;
});

const template = z
  .string('text with the places {status}, {sign}, {minus}, {number} and {unit}')
  .min(1)
  .max(200)
  .refine((text) => TEXT.test(text) && !/[{}]/.test(text.replace(PLACE, '')), {
    message: 'only the places {status}, {sign}, {minus}, {number} and {unit}, with a width such as {number:8}',
  });

/** The control bytes that open and close frames, by their names in ASCII. */
const NAMED_BYTES = { soh: 1, stx: 2, etx: 3, eot: 4 } as const;
const BYTE = 'a byte: `soh`, `stx`, `etx`, `eot`, or a number from 1 to 255 such as 0x02';
const byte = z
  .union([z.enum(['soh', 'stx', 'etx', 'eot']), z.number().int().min(1).max(255)], BYTE)
  .transform((named) => String.fromCharCode(typeof named === 'number' ? named : NAMED_BYTES[named]));
const ending = z.enum(['crlf', 'lf', 'cr']);

const check = z
  .strictObject({
    kind: z.enum(['xor', 'sum', 'xor hex', 'sum hex', 'ignored']),
    covers: z.enum(['text', 'text and end', 'start and text', 'all']).default('text'),
    place: z.enum(['before end', 'after end']).default('before end'),
    length: z.number('how many bytes, such as 1').int().min(1).max(4).optional(),
  })
  .superRefine(({ kind, place, length }, context) => {
    const complain = (path: string, message: string) => context.addIssue({ code: 'custom', path: [path], message });
    if (kind === 'ignored' && place === 'before end') {
      complain('kind', 'a kind that can be proved; bytes before the end that can not are written into the pattern');
    }
    if (kind === 'ignored' && length === undefined) complain('length', 'how many bytes to leave out');
    if (kind !== 'ignored' && length !== undefined) complain('length', 'no length: the kind says it');
  });

const frame = z
  .strictObject({
    start: byte.optional(),
    end: z.union([ending, byte], `an ending (\`crlf\`, \`lf\`, \`cr\`) or ${BYTE}`).optional(),
    length: z.number('how many bytes a frame has').int().min(2).max(200).optional(),
    check: check.optional(),
  })
  .superRefine(({ start, end, length, check: proof }, context) => {
    const complain = (path: string, message: string) => context.addIssue({ code: 'custom', path: [path], message });
    if ((end === undefined) === (length === undefined)) complain('end', 'either an `end` or a `length`, not both');
    if (start !== undefined && start === end) complain('end', 'another byte than the start');
    if (proof?.place === 'after end' && (start === undefined || end === undefined)) {
      complain('check', 'a `start` and an `end` too: otherwise a check after the end could be taken for text');
    }
  });

const ask = z.strictObject({
  send: z
    .string('what to send, without the line ending')
    .max(24)
    .regex(/^[\x01-\x7f]*$/, 'ASCII characters, such as W, or "\\x05" for a control byte'),
  ending: z.enum(['crlf', 'lf', 'cr', 'none']).optional(),
  'every ms': z.number('milliseconds between two questions').int().min(20).max(5000),
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
    ending: ending.optional(),
    frame: frame.optional(),
    'lines per reading': z.number('how many lines make one reading').int().min(1).max(8).default(1),
    rhythm: z.enum(['continuous', 'on-change', 'asked', 'on-settled', 'while-settled', 'on-key']),
    'lines per second': z.number('readings per second, such as 10').min(0.1).max(200),
    pattern,
    decimal: z.enum(['point', 'comma']).default('point'),
    status: z
      .record(word, z.enum(['stable', 'moving', 'low-supply', 'over-range', 'under-range', 'fault']))
      .default({}),
    'no status': z.enum(['stable', 'moving']).optional(),
    units: z.record(word, unit).default({}),
    'no unit': z.strictObject({ unit, means: z.literal('moving').optional() }).optional(),
    ask: ask.optional(),
    writes: z.strictObject({ weight: template, 'no weight': template.optional() }).optional(),
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
    if (file.ending !== undefined && file.frame) complain('frame', 'either an `ending` or a `frame`, not both');
    if (file.ending === undefined && !file.frame)
      complain('ending', 'what ends a line: `crlf`, `lf`, `cr`; or a `frame`');
    if (file.rhythm === 'asked' && !file.ask)
      complain('ask', 'what to send and how often, because the rhythm is asked');
    if (file.rhythm !== 'asked' && file.rhythm !== 'while-settled' && file.ask) {
      complain('ask', 'no question, because the rhythm is not asked');
    }
    const endsLines = file.ending !== undefined || Object.hasOwn(ENDING_TEXT, file.frame?.end ?? '');
    if (file.ask && file.ask.ending === undefined && !endsLines) {
      complain('ask', 'the `ending` of the question: `crlf`, `lf`, `cr` or `none`');
    }
    if (Object.keys(file.units).length === 0 && !file['no unit']) {
      complain('units', 'at least one unit word, or what a line without a unit means');
    }
    if (file['no unit']?.means === 'moving' && Object.keys(file.units).length === 0) {
      complain('units', 'the unit words that mean "settled"');
    }
  });

export type ProfileFile = z.infer<typeof profileSchema>;
