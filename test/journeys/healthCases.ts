/** All health cases; each is weighed in all three ways. */
import { ABSENT } from './healthAbsent.ts';
import type { HealthCase } from './healthCase.ts';
import { MISSHOWN } from './healthMisshown.ts';
import { ZEROED } from './healthZeroed.ts';

export const HEALTH_CASES: readonly HealthCase[] = [...ABSENT, ...MISSHOWN, ...ZEROED];
