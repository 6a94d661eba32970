/** Writes the published schemas into `schemas/`: `npm run schemas`. */
import { writeFileSync } from 'node:fs';
import { publishedSchemas } from './publishedSchemas.ts';

for (const [name, text] of Object.entries(publishedSchemas)) {
  writeFileSync(new URL(`../../schemas/${name}`, import.meta.url), text());
}
