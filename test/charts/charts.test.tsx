import fc from 'fast-check';
import type { ReactElement } from 'react';
import { renderToStaticMarkup } from 'react-dom/server';
import { describe, expect, test } from 'vitest';
import { apart, cut, TEXT, widthOf } from '../../src/charts/Chart.tsx';
import { ControlChart } from '../../src/charts/ControlChart.tsx';
import { FlowChart } from '../../src/charts/FlowChart.tsx';
import { flowOf, sum } from '../../src/charts/flow.ts';
import { Histogram } from '../../src/charts/Histogram.tsx';
import { PourChart, type PourChartProps } from '../../src/charts/PourChart.tsx';

const HOSTILE = '</text><script>alert(1)</script>" onload="alert(1)';

const pour: PourChartProps = {
  name: 'Pour of shea butter',
  points: [
    [0, 0],
    [3, 78.9],
    [6, 78.9],
    [8, 74.2],
  ],
  low: 72.8,
  target: 74.2,
  high: 75.7,
  show: (value) => value.toFixed(1),
  unit: 'g',
  width: 100,
  height: 30,
};

const flow = {
  name: 'Left the lots',
  sources: [
    { name: HOSTILE, value: 900 },
    ...Array.from({ length: 20 }, (_, index) => ({ name: `lot ${index}`, value: 5 })),
  ],
  off: [{ name: 'taken back out', value: 40 }],
  stages: [{ name: 'In the vessels', total: 950, off: [] }],
  ends: {
    name: 'After pressing',
    parts: [
      { name: HOSTILE, value: 800 },
      { name: 'offcut', value: 100 },
    ],
  },
  show: (value: number) => `${value} g`,
  sourcesAre: 'lots',
  width: 520,
};

const all: Readonly<Record<string, ReactElement>> = {
  'a small pour': <PourChart {...pour} name={HOSTILE} />,
  'a large pour': <PourChart {...pour} width={300} height={120} midway unit={HOSTILE} />,
  'a pour without a lower end': <PourChart {...pour} low={0} />,
  'a pour of no length and no band': (
    <PourChart
      {...pour}
      points={[
        [0, 0],
        [0, 0],
      ]}
      low={0}
      target={0}
      high={0}
    />
  ),
  'a pour below nothing': (
    <PourChart
      {...pour}
      points={[
        [0, -2],
        [4, 3],
      ]}
    />
  ),
  'values in order': (
    <ControlChart
      {...{ unit: HOSTILE, places: HOSTILE, says: HOSTILE, width: 350, height: 140 }}
      points={[
        { place: 1, value: 75, mark: 'in' },
        { place: 2, value: 77, mark: 'out' },
        { place: 3, value: 60, mark: 'void' },
      ]}
      levels={[{ value: 75, name: HOSTILE, kind: 'centre' }]}
    />
  ),
  'one value': (
    <ControlChart
      {...{ unit: 'g', places: 'bar', says: 'one', width: 350, height: 140, levels: [] }}
      points={[{ place: 1, value: 0, mark: 'in' }]}
    />
  ),
  'no value': (
    <ControlChart {...{ unit: 'g', places: 'bar', says: 'none', width: 350, height: 140, levels: [], points: [] }} />
  ),
  'a histogram': (
    <Histogram
      {...{ unit: 'g', counted: 'bars', says: HOSTILE, width: 165, height: 140 }}
      bins={[{ from: 74, to: 75, count: 3 }]}
      levels={[{ value: 70, name: HOSTILE, kind: 'bound' }]}
    />
  ),
  'an empty histogram': (
    <Histogram {...{ unit: 'g', counted: 'bars', says: 'none', width: 165, height: 140, bins: [], levels: [] }} />
  ),
  'a flow': <FlowChart {...flow} />,
  'a flow of nothing': <FlowChart {...flow} sources={[]} off={[]} stages={[]} ends={null} />,
};

test.each(Object.entries(all))(
  '%s: a drawing with words, every number in it real, hostile names only text',
  (_, chart) => {
    const svg = renderToStaticMarkup(chart);
    expect(svg).toMatch(/^<svg [^>]*role="img"[^>]* aria-label="[^"]+/);
    expect(svg).not.toMatch(/NaN|Infinity|undefined|null|<script|onload="|style="|href/);
  },
);

describe('a pour', () => {
  test('its words say how it went: time, the most, the end, the band', () => {
    const svg = renderToStaticMarkup(<PourChart {...pour} midway />);
    expect(svg).toContain(
      'Pour of shea butter: weight against time. It begins midway, at 0.0 g; 8 s, to 74.2 g, in the band. At most 78.9 g, over the band. The band 72.8 to 75.7 g, target 74.2 g.',
    );
  });

  test('a band of one percent is a doorway that one can see, and the line ends within it', () => {
    const svg = renderToStaticMarkup(
      <PourChart
        {...pour}
        low={99}
        target={100}
        high={101}
        points={[
          [0, 0],
          [9, 100.5],
        ]}
      />,
    );
    const [, top, height] = /<rect [^>]*y="([\d.]+)"[^>]* height="([\d.]+)"/.exec(svg) ?? [];
    const [, end] = /<circle [^>]*cy="([\d.]+)"/.exec(svg) ?? [];
    expect(Number(height)).toBeGreaterThan(30 / 5);
    expect(Number(end)).toBeGreaterThan(Number(top));
    expect(Number(end)).toBeLessThan(Number(top) + Number(height));
  });
});

test('the widths of a flow are in one proportion to its values, and each value is written', () => {
  const svg = renderToStaticMarkup(<FlowChart {...flow} />);
  const bands = [
    ...svg.matchAll(/<g><path d="M[\d.]+,([\d.]+)[^"]*?,([\d.]+)Z"[^>]*><\/path><text[^>]*>([^<]*?) (\d+) g<\/text>/g),
  ];
  const found = bands.map(([, top, bottom, name, value]) => ({
    name,
    share: Math.abs(Number(top) - Number(bottom)) / Number(value),
    value: Number(value),
  }));
  expect(found.map(({ value }) => value)).toEqual([900, 5, 5, 5, 5, 5, 75, 40, 10, 50, 800, 100]);
  expect(found.filter(({ name }) => name?.startsWith('not accounted')).map(({ value }) => value)).toEqual([10, 50]);
  const [first] = found;
  for (const { share, value } of found) expect(Math.abs(share - (first?.share ?? 0)) * value).toBeLessThan(0.03);
});

/** The boxes of all texts of a drawing, as they are printed. */
function textsOf(svg: string) {
  return [...svg.matchAll(/<text ([^>]*)>([^<]*)<\/text>/g)].map(([, attributes = '', text = '']) => {
    const number = (name: string) => Number(new RegExp(` ?\\b${name}="(-?[\\d.]+)"`).exec(attributes)?.[1]);
    const [x, y, wide] = [number('x'), number('y'), widthOf(text)];
    const left = attributes.includes('"end"') ? x - wide : x;
    return { text, left, right: left + wide, top: y - 0.75 * TEXT, bottom: y + 0.2 * TEXT };
  });
}

/** The ribbons of a drawing, each as slices: where it lies at so many places along its curve. */
function ribbonsOf(svg: string) {
  const numbers = (text: string) => text.match(/-?[\d.]+/g)?.map(Number) ?? [];
  return [...svg.matchAll(/<g><path d="(M[^"]*Z)"/g)].map(([, path = '']) => {
    const [up, down] = path.split('L').map(numbers);
    // Both edges are one cubic curve each; the lower one is drawn backwards.
    return Array.from({ length: 21 }, (_, step) => {
      const [x, top] = onCurve(up ?? [], step / 20);
      const [, bottom] = onCurve(down ?? [], 1 - step / 20);
      return { x, top, bottom };
    });
  });
}

function onCurve([x0 = 0, y0 = 0, x1 = 0, y1 = 0, x2 = 0, y2 = 0, x3 = 0, y3 = 0]: readonly number[], t: number) {
  const at = (a: number, b: number, c: number, d: number) =>
    (1 - t) ** 3 * a + 3 * (1 - t) ** 2 * t * b + 3 * (1 - t) * t ** 2 * c + t ** 3 * d;
  return [at(x0, x1, x2, x3), at(y0, y1, y2, y3)] as const;
}

const part = (names: readonly string[], max = 900) =>
  fc.record({ name: fc.constantFrom(...names), value: fc.integer({ min: -3, max }) });

test('no label of a flow lies on another or on a ribbon, whatever leaves it, joins it and becomes of it', () => {
  const off = fc.array(part(['stuck to vessels', 'left in cups', 'in cups not tipped', 'thrown away'], 200), {
    maxLength: 5,
  });
  const stage = fc.record({ name: fc.constant('In the vessels'), total: fc.integer({ min: 1, max: 2000 }), off });
  const ends = fc.record({
    name: fc.constant('Weighed off'),
    parts: fc.array(part(['23 bars', 'offcut', 'crumbs']), { maxLength: 5 }),
  });
  fc.assert(
    fc.property(
      fc.array(part(['SA-88 Sulfoacetate powder', 'LV-6 Lavender oil']), { minLength: 1, maxLength: 9 }),
      off,
      fc.array(stage, { maxLength: 2 }),
      fc.option(ends),
      (sources, first, stages, became) => {
        // No more leaves a stage or joins it than is there.
        const { steps } = flowOf({ name: '', sources, off: first, stages, ends: became });
        fc.pre(steps.every(({ total, off, joins }) => Math.max(sum(off), sum(joins)) <= total));
        const svg = renderToStaticMarkup(
          <FlowChart
            {...{ name: 'Left the lots', sources, off: first, stages, ends: became, sourcesAre: 'lots', width: 520 }}
            show={(value) => `${value.toFixed(2)} g`}
          />,
        );
        const texts = textsOf(svg);
        for (const [index, a] of texts.entries()) {
          for (const b of texts.slice(index + 1)) {
            const isOver = a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
            if (isOver) expect.fail(`${a.text} on ${b.text}`);
          }
        }
        const ribbons = ribbonsOf(svg);
        for (const { text, left, right, top, bottom } of texts) {
          const touching = ribbons.some((slices) =>
            slices.some((slice) => slice.x > left && slice.x < right && slice.top < bottom && slice.bottom > top),
          );
          if (touching) expect.fail(`a ribbon on ${text}`);
        }
      },
    ),
    { numRuns: 200 },
  );
});

test('labels are moved apart in their order, and stay within their place where they can', () => {
  expect(apart([10, 11, 12], 5, 0, 100)).toEqual([10, 15, 20]);
  expect(apart([50, 10, 49], 5, 0, 52)).toEqual([52, 10, 47]);
  expect(apart([], 5, 0, 10)).toEqual([]);
});

test('a long name is cut between characters, a short one is not', () => {
  expect(cut('shea butter', 500)).toBe('shea butter');
  expect(cut('\u{1f9fc}'.repeat(40), 40)).toMatch(/^\u{1f9fc}+\u2026$/u);
  expect(cut('shea', 0)).toBe('s\u2026');
});

test('how much too much a pour was stands beside its line, and in the small drawing not at all', () => {
  const large = renderToStaticMarkup(<PourChart {...pour} width={300} height={120} />);
  const [, x = ''] = /<text x="([\d.]+)"[^>]*>78\.9</.exec(large) ?? [];
  const [, end = ''] = /<circle cx="([\d.]+)"/.exec(large) ?? [];
  // From 78.9 at 6 s the line falls to 74.2 at 8 s, its end: the label begins no further left than there is room for.
  expect(Number(x)).toBe(Math.min(Number(end) + 3, 300 - 6 - 32));
  expect(renderToStaticMarkup(<PourChart {...pour} />)).not.toContain('>78.9<');
});
