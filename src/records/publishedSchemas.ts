/** The published JSON Schemas (2020-12) as files: `npm run schemas` writes them, a test keeps them true. */
import { z } from 'zod';
import { factSchema, hereSchema } from '../facts/readFact.ts';
import { amountSchema, drawSchema, massSchema, nameSchema, planSchema, vesselSchema } from '../facts/readPlan.ts';
import { recordSchema } from './record/recordSchema.ts';

const FACT = {
  title: 'Fact',
  description:
    'A line of `bismar log --json`: something that happened, never changed. Masses are whole micrograms. Newer logs may hold kinds and fields that are not here.',
};

/** Parts that many facts have, told once. */
const parts = z.registry<{ id: string; description?: string }>();
parts.add(nameSchema, { id: 'name' });
parts.add(massSchema, { id: 'mass', description: 'Whole micrograms; a difference may be below zero.' });
parts.add(amountSchema, { id: 'amount', description: 'Whole micrograms, not below zero.' });
parts.add(vesselSchema, { id: 'vessel' });
parts.add(drawSchema, { id: 'plannedDraw' });
parts.add(planSchema, { id: 'plan' });
parts.add(hereSchema, { id: 'happenedHere', description: 'What happened at the bench itself.' });

/** By file name. */
export const publishedSchemas: Readonly<Record<'record.schema.json' | 'fact.schema.json', () => string>> = {
  'record.schema.json': () => textOf(z.toJSONSchema(recordSchema, { io: 'output' })),
  // The input: what stands in the log, before it is made into masses.
  'fact.schema.json': () => textOf({ ...z.toJSONSchema(factSchema, { io: 'input', metadata: parts }), ...FACT }),
};

function textOf({ $schema, title, description, ...rest }: z.core.JSONSchema.BaseSchema): string {
  return `${JSON.stringify({ $schema, title, description, ...rest }, null, 2)}\n`;
}
