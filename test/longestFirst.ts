/** The order of test files: by chance, from the run's seed, but the longest ones first, as they decide how long all take. */
import { createHash } from 'node:crypto';
import { BaseSequencer, type TestSpecification } from 'vitest/node';

export const LONGEST = 'test/journeys/wholeBatch.test.ts';

/** Each takes longer than any other of its kind; the longest first. */
const FIRST = [
  LONGEST,
  'test/weighing/model.test.ts',
  'test/journeys/health.test.ts',
  'test/journeys/troubles.test.ts',
  'test/journeys/teach.test.ts',
  'test/cli/scaleCheck.test.ts',
];

export class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const { seed } = this.ctx.config.sequence;
    const place = ({ moduleId, project }: TestSpecification) => {
      const first = FIRST.findIndex((each) => moduleId.endsWith(each));
      // A space and an exclamation mark and so on stand before every digit.
      if (first >= 0) return String.fromCharCode(0x20 + first);
      // Between others they would end processes that more files could share.
      if (project.name === 'apart') return `/${moduleId}`;
      return createHash('sha256').update(`${seed} ${moduleId}`).digest('hex');
    };
    return [...files].sort((a, b) => (place(a) < place(b) ? -1 : 1));
  }
}
