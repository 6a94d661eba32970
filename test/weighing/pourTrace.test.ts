import { describe, expect, it } from 'vitest';
import { createPourTracer, MOST_POINTS, type PourTracer } from '../../src/weighing/pourTrace.ts';
import { g } from './samplePlan.ts';

const d = g(0.1);

/** One reading each 100 ms. @returns the time of the last */
function show(tracer: PourTracer, nets: readonly number[], from = 0): number {
  nets.forEach((net, index) => {
    tracer.seen('A1', from + 100 * index, g(net), d, false);
  });
  return from + 100 * (nets.length - 1);
}

const steadily = (from: number, to: number, count: number) =>
  Array.from({ length: count }, (_, index) => from + ((to - from) * index) / (count - 1));

describe('the trace of a pour', () => {
  it('begins with the pour, however long the vessel stood there before', () => {
    const tracer = createPourTracer();
    show(tracer, [...Array(300).fill(0), ...steadily(1, 50, 50), 50, 50, 50]);
    expect(tracer.of('A1')).toEqual({ midway: false, ms: [0, 5000, 5300], net: [g(0), g(50), g(50)] });
  });

  it('an hour of readings is kept in few points, with what was too much and was taken back', () => {
    const tracer = createPourTracer();
    const nets = Array.from({ length: 36_000 }, (_, index) => index / 1000 + (index % 7) / 10);
    nets[20_000] = 60;
    show(tracer, nets);
    const trace = tracer.of('A1');
    expect(trace?.ms.length).toBeLessThanOrEqual(MOST_POINTS);
    expect(trace?.net).toContain(g(60));
    expect(trace?.ms.at(-1)).toBeGreaterThan(3_590_000);
  });

  it('one that begins with something in the vessel says so; a draw that begins again has a new one', () => {
    const tracer = createPourTracer();
    show(tracer, steadily(30, 60, 20));
    expect(tracer.of('A1')?.midway).toBe(true);
    tracer.begin();
    expect(tracer.of('A1')).toBeUndefined();
    show(tracer, steadily(0, 60, 20), 9000);
    expect(tracer.of('A1')?.midway).toBe(false);
  });

  it('a display that holds its figure is taken to show it until it says another', () => {
    const tracer = createPourTracer();
    tracer.seen('A1', 0, g(0), d, false);
    for (let at = 100; at <= 5000; at += 100) tracer.seen('A1', at, g(0), d, true);
    tracer.seen('A1', 5100, g(7), d, false);
    tracer.seen('A1', 5300, g(9), d, false);
    for (let at = 5400; at <= 8000; at += 100) tracer.seen('A1', at, g(9), d, true);
    const trace = tracer.of('A1');
    expect(trace?.net).toEqual([g(0), g(7), g(9), g(9)]);
    expect(trace?.ms[1]).toBeLessThan(500);
  });

  it('nothing is told of another draw, nor of a weight that never changed', () => {
    const tracer = createPourTracer();
    show(tracer, [0, 0, 0.1, 0]);
    expect(tracer.of('A1')).toBeUndefined();
    show(tracer, steadily(0, 60, 20), 1000);
    expect(tracer.of('B1')).toBeUndefined();
  });
});
