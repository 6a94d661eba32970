import { describe, expect, test } from 'vitest';
import { Left } from '../../../src/cli/scale/checkPan.ts';
import { mass } from '../../../src/mass/mass.ts';
import { demo } from '../../plan/fixtures.ts';
import { g } from '../../records/sampleFacts.ts';
import { runCheck, type Scale } from './checkRig.ts';

function scaleOfDemo(id: string): Scale {
  const scale = demo.scales.get(id);
  if (!scale) throw new Error(`the demo has no ${id} scale`);
  return scale;
}

const bench = scaleOfDemo('bench'); // 5 kg, d = 0.1 g, permissible error 0.2 g

describe('the daily check of a scale', () => {
  test('a good scale passes, with every weighing in the fact', async () => {
    const { fact, said } = await runCheck(bench);
    expect(fact).toMatchObject({ scale: 'bench', passed: true });
    expect(fact.rows.map(({ kind }) => kind)).toEqual(['zero', 'weight', 'zero', ...Array(5).fill('repeat')]);
    expect(fact.basis).toBe(
      'Judged by the permissible error stated for this scale, 0.2 g; with 1000 g M1 (OIML R 111-1).',
    );
    // 0.05 g of the weight and 0.05 g of rounding are 100 ppm; the display may be a tenth off by its noise.
    expect(fact.slopePpm).toBeGreaterThanOrEqual(100);
    expect(fact.slopePpm).toBeLessThanOrEqual(200);
    expect(said).toContain('The bench scale: PASSED.');
    expect(said.join('\n')).toContain('15 to 30 minutes');
  });

  test('a span error of 0.3 % fails, is told and found in the bound', async () => {
    const { fact, said } = await runCheck(bench, { makes: (load) => mass(Math.round(load * 1.003)) });
    expect(fact.passed).toBe(false);
    expect(fact.rows[1]).toMatchObject({ kind: 'weight', nominal: g(1000), shown: g(1003) });
    expect(fact.slopePpm).toBe(3100); // 3 g found, 0.05 g tolerance, 0.05 g rounding
    expect(said.join('\n')).toContain('off by +3.0 g; may be 0.2 g off: TOO FAR OFF');
    expect(said.join('\n')).toContain('Weighing is not forbidden');
  });

  test('a scale that shows one weight differently each time fails by its repeatability alone', async () => {
    const scatter = [0, 0, 0.2, -0.2, 0.1, -0.1];
    const makes = (load: number, turn: number) => mass(load + g(scatter[turn - 1] ?? 0));
    const { fact, said } = await runCheck(bench, { makes });
    expect(fact.passed).toBe(false);
    expect(fact.rows.filter(({ kind }) => kind === 'weight')).toMatchObject([{ shown: g(1000) }]);
    expect(said.join('\n')).toContain('spread 0.4 g; may be 0.2 g: TOO WIDE');
    // Sample standard deviation of 0, 0.2, -0.2, 0.1, -0.1 g.
    expect(fact.repeatability).toBe(158_114);
  });

  test('with corners, one that shows too little fails', async () => {
    const makes = (load: number, turn: number) => mass(load - (turn === 8 ? g(0.5) : 0));
    const { fact } = await runCheck(bench, { makes }, { corners: true });
    expect(fact.rows.filter(({ kind }) => kind === 'corner')).toHaveLength(4);
    expect(fact.passed).toBe(false);
    expect((await runCheck(bench, {}, { corners: true })).fact.passed).toBe(true);
  });

  test('ten weighings tell the smallest weight by USP 41 at 0.10 %: never below 820 d', async () => {
    const { said } = await runCheck(bench, {}, { series: 10 });
    expect(said.join('\n')).toMatch(/Smallest net weight at 0\.10 %, by USP 41: (82\.0|[89]\d\.\d|\d{3}\.\d) g/);
    expect((await runCheck(bench)).said.join('\n')).not.toContain('USP 41');
  });

  test('a scale without a port is checked by what the maker types', async () => {
    const { repeatability: _, ...rest } = bench;
    const keyed: Scale = { ...rest, repeatability: undefined, port: undefined, profile: undefined };
    const { fact } = await runCheck(keyed);
    expect(fact).toMatchObject({ passed: true, repeatability: 0, slopePpm: 100 });
    const off = await runCheck(keyed, { makes: (load) => mass(load + g(0.3)) });
    expect(off.fact.passed).toBe(false);
  });

  test('what is no number is asked for again, and the wrong weight is asked about', async () => {
    const { repeatability: _, ...rest } = bench;
    const keyed: Scale = { ...rest, repeatability: undefined, port: undefined, profile: undefined };
    let tried = false;
    const { fact, said } = await runCheck(keyed, {
      answers: (line, watch) => {
        if (tried || !line.startsWith('Put the')) return false;
        tried = true;
        for (const text of ['a kilo', '500.0', '1000.0']) watch.hear(text);
        return true;
      },
    });
    expect(said.join('\n')).toContain('That is no weight in grams');
    expect(said.join('\n')).toContain('That shows 500.0 g: is it the right weight?');
    expect(fact.passed).toBe(true);
  });

  test.each(['q', 'x', undefined])('the maker can leave at any time (%s): nothing is judged', async (text) => {
    const leaving = runCheck(bench, {
      answers: (line, watch) => {
        if (line.startsWith('1 of')) watch.hear(text);
        return line.startsWith('1 of');
      },
    });
    await expect(leaving).rejects.toBeInstanceOf(Left);
  });
});
