import { describe, expect, it } from 'vitest';
import { mass } from '../../src/mass/mass.ts';
import { type NewWorkshop, newWorkshop, USUAL_WORKSHOP } from '../../src/workshop/newWorkshop.ts';
import { readWorkshop } from '../../src/workshop/readWorkshop.ts';
import { BATCH_DAY, drawsOf, formulaFrom, planOf, workshopFrom } from '../plan/fixtures.ts';

const G = 1_000_000;

function textOf(answers: NewWorkshop, ending: string): string {
  return newWorkshop(answers, BATCH_DAY).find(({ path }) => path.endsWith(ending))?.text ?? '';
}

function withScale(capacity: number, d: number): NewWorkshop {
  return { ...USUAL_WORKSHOP, scales: [{ id: 'only', capacity: mass(capacity), d: mass(d), link: 'keyed' }] };
}

describe('the files of a fresh workshop', () => {
  it.each<[string, NewWorkshop]>([
    ['two scales without ports', USUAL_WORKSHOP],
    ['one kitchen scale of 5 kg by 1 g', withScale(5000 * G, G)],
    ['a scale of 30 kg by 5 g', withScale(30_000 * G, 5 * G)],
    ['a fine scale alone', withScale(200 * G, 0.01 * G)],
    ['a scale of 3 kg by 0.1 g', withScale(3000 * G, 0.1 * G)],
  ])('with %s can be read, and their example can be weighed', (_, answers) => {
    const workshop = workshopFrom(textOf(answers, 'workshop.yaml'));
    const formula = formulaFrom(textOf(answers, 'practice-mix.yaml'), workshop);
    expect(drawsOf(planOf(workshop, formula)).length).toBe(4);
  });

  it('keep what was answered', () => {
    const answers: NewWorkshop = {
      name: 'Tom\'s "bench": #1',
      operators: ['Åsa: the boss', '- Li'],
      scales: [
        {
          id: 'bench',
          capacity: mass(5000 * G),
          d: mass(0.1 * G),
          link: { port: '/dev/serial/by-id/usb-x', profile: 'status-first' },
        },
      ],
    };
    const workshop = workshopFrom(textOf(answers, 'workshop.yaml'));
    expect(workshop).toMatchObject({ name: answers.name, operators: answers.operators });
    expect(workshop.scales.get('bench')).toMatchObject({
      capacity: 5000 * G,
      d: 0.1 * G,
      port: '/dev/serial/by-id/usb-x',
      profile: 'status-first',
    });
  });

  it('can not be led astray by an answer: a bad one is a problem when read back', () => {
    const text = textOf({ ...USUAL_WORKSHOP, name: 'x"\noperators: [Eve]\nname: "y' }, 'workshop.yaml');
    const read = readWorkshop('workshop.yaml', text);
    expect(read.ok && read.workshop.operators).toEqual(['Maker']);
    expect(readWorkshop('w.yaml', textOf({ ...USUAL_WORKSHOP, name: '\u001b[2J' }, 'workshop.yaml')).ok).toBe(false);
  });
});
