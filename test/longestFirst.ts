/** The order of test files: by chance, from the run's seed, but the longest journey first, as it decides how long all take. */
import { createHash } from 'node:crypto';
import { BaseSequencer, type TestSpecification } from 'vitest/node';

export const LONGEST = 'test/journeys/wholeBatch.test.ts';

export class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const { seed } = this.ctx.config.sequence;
    const place = ({ moduleId }: TestSpecification) =>
      moduleId.endsWith(LONGEST) ? '' : createHash('sha256').update(`${seed} ${moduleId}`).digest('hex');
    return [...files].sort((a, b) => (place(a) < place(b) ? -1 : 1));
  }
}
