import { describe, expect, it } from 'vitest';
import { printProblems } from '../../src/workshop/problems.ts';
import { readWorkshop } from '../../src/workshop/readWorkshop.ts';
import { shiftDates, shiftDay } from '../../src/workshop/shiftDates.ts';
import { demoFormula, demoText, drawsOf, planOf } from '../plan/fixtures.ts';

describe('moving the days of a file', () => {
  it('moves every day and nothing else', () => {
    expect(shiftDates('expires: 2026-11-25 # lot 1-2026-11-25, 2026-02-30', 7)).toBe(
      'expires: 2026-12-02 # lot 1-2026-11-25, 2026-02-30',
    );
    expect(shiftDates('2024-02-28, 2023-02-28', 1)).toBe('2024-02-29, 2023-03-01');
  });

  it('crosses years and comes back', () => {
    expect(shiftDay('2026-12-31', 1)).toBe('2027-01-01');
    expect(shiftDates(shiftDates(demoText, 1234), -1234)).toBe(demoText);
  });

  it('lets the demo be planned on any day', () => {
    for (const days of [-400, 0, 1, 3650]) {
      const moved = readWorkshop('workshop.yaml', shiftDates(demoText, days));
      if (!moved.ok) throw new Error(printProblems(moved.problems));
      const plan = planOf(moved.workshop, demoFormula, undefined, shiftDay('2026-11-25', days));
      expect(drawsOf(plan).length).toBe(22);
    }
  });
});
