/**
 * The order of test files: those that compute before those that wait for real programs, so that the latter find a quiet
 * machine; among each, the longest ones first, as they decide how long all take, then by chance, from the run's seed.
 * The longest of all begins at once: it mostly waits.
 */
import { createHash } from 'node:crypto';
import { BaseSequencer, type TestSpecification } from 'vitest/node';

const LONGEST = 'test/journeys/wholeBatch.test.ts';

/** Each takes longer than any other of its kind; the longest first. */
const FIRST = [
  'test/weighing/model.test.ts',
  'test/cli/scale/scaleCheck.test.ts',
  'test/journeys/troubles.test.ts',
  'test/journeys/teach.test.ts',
  'test/journeys/health.test.ts',
  'test/journeys/demo.test.ts',
];

/** Projects in their order. Files in processes of their own, between others, would end processes that more could share. */
const PROJECTS = ['apart', 'parts', 'journeys'];

export class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const { seed } = this.ctx.config.sequence;
    const placeOf = ({ moduleId, project }: TestSpecification): string => {
      if (moduleId.endsWith(LONGEST)) return '';
      const first = FIRST.findIndex((each) => moduleId.endsWith(each));
      const chance = createHash('sha256').update(`${seed} ${moduleId}`).digest('hex');
      return `${PROJECTS.indexOf(project.name)} ${first < 0 ? `later ${chance}` : `first ${first}`}`;
    };
    const places = new Map(files.map((file) => [file, placeOf(file)]));
    return [...files].sort((a, b) => ((places.get(a) ?? '') < (places.get(b) ?? '') ? -1 : 1));
  }
}
