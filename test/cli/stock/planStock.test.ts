import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { plan } from '../../../src/cli/plan.ts';

const shop = `name: Dyer
operators: [Someone]
scales:
  bench: {capacity: 5 kg, d: 0.1 g, repeatability: 0.05 g, keyed: yes}
  fine: {capacity: 200 g, d: 0.01 g, repeatability: 0.004 g, keyed: yes}
vessels:
  bowl: {name: Bowl, tare: 300 g, usable: 4 l}
  beaker: {name: Beaker, tare: 90 g, usable: 250 ml}
  cup: {name: Cup, tare: 30 g, usable: 25 ml}
ingredients:
  red: {name: Red dye, inci: CI 17200, density: 0.5 g/ml, lots: {R-1: {on hand: 20 g}}}
  water: {name: Water, inci: Aqua, density: 1.00 g/ml, lots: {W-1: {on hand: 5 kg}}}
`;
const rose = `name: Rose water
version: 1
batch: 1 kg
phases:
  - phase: A
    name: All
    vessel: bowl
    work:
      - { draw: water, share: rest, band: 2 % }
      - { draw: red, share: 0.0022 %, band: 5 %, over: never }
`;

describe('plan --stock-solution', () => {
  let folder = '';
  let said = '';
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'bismar-stock-'));
    mkdirSync(join(folder, 'formulas'));
    writeFileSync(join(folder, 'workshop.yaml'), shop);
    writeFileSync(join(folder, 'formulas', 'rose.yaml'), rose);
    said = '';
    vi.spyOn(process.stdout, 'write').mockImplementation((text) => {
      said += String(text);
      return true;
    });
  });
  afterEach(() => {
    vi.restoreAllMocks();
    rmSync(folder, { recursive: true, force: true });
  });
  const file = (name: string) => join(folder, 'formulas', name);

  it('is told, and changes nothing until it is asked to', async () => {
    await expect(plan('rose', { in: folder })).rejects.toThrow(/0\.5 % stock solution.*\n.*\n\n.*--stock-solution/);
    expect(await plan('rose', { in: folder, stockSolution: 'red' })).toBe(0);
    expect(said).toContain('A 0.5 % stock solution of Red dye in Water:');
    expect(said).toContain('good for the day it is made (--good-for)');
    expect(readFileSync(join(folder, 'workshop.yaml'), 'utf8')).toBe(shop);
    expect(existsSync(file('red-stock.yaml'))).toBe(false);
  });

  it('writes what can be planned at once: the stock, and once it has a lot, the batch', async () => {
    await plan('rose', { in: folder, stockSolution: 'red', goodFor: '30', write: true });
    expect(said).toMatch(/lot receive red-stock LOT 200g --expires DAY/);
    expect(await plan('red-stock', { in: folder })).toBe(0);
    await expect(plan('rose-from-stock', { in: folder })).rejects.toThrow('4.400 g are needed');
    const text = readFileSync(join(folder, 'workshop.yaml'), 'utf8');
    writeFileSync(
      join(folder, 'workshop.yaml'),
      text.replace('  red-stock:\n', '  red-stock:\n    lots: {RS-1: {on hand: 199 g}}\n'),
    );
    said = '';
    expect(await plan('rose-from-stock', { in: folder })).toBe(0);
    expect(said).toMatch(/stock of 0\.5 % +4\.400 +4\.\d\d - +4\.\d\d +fine +cup +RS-1/);
    // A second time would write over what is there.
    await expect(plan('rose', { in: folder, stockSolution: 'red', write: true })).rejects.toThrow('is there already');
  });

  it.each([
    ['counts in parts', 'shares: parts\nphases:', 'draw: red, share: 0.000022', 'draw: water, share: 0.999978'],
    ['gives a share of active matter', 'phases:', 'draw: red, active: 0.0022 %', 'draw: water, share: rest'],
    ['shares of a phase', 'phases:', 'draw: red, share: 0.0022 %', 'draw: water, share: rest'],
  ])('says why it can not write a formula that %s', async (why, phases, red, water) => {
    writeFileSync(join(folder, 'workshop.yaml'), shop.replace('inci: CI 17200', 'active: 100 %, inci: CI 17200'));
    const written = rose
      .replace('phases:', phases)
      .replace(/draw: red, share: [^,]+/, red)
      .replace(/draw: water, share: [^,]+/, water);
    const phase = why.includes('phase') ? written.replace('name: All', 'name: All\n    share: 100 %') : written;
    writeFileSync(file('rose.yaml'), phase);
    await plan('rose', { in: folder, stockSolution: 'red' });
    expect(said).toContain('A 0.5 % stock solution');
    await expect(plan('rose', { in: folder, stockSolution: 'red', write: true })).rejects.toThrow(why);
    expect(existsSync(file('red-stock.yaml'))).toBe(false);
  });

  it('says what is wrong with what was asked', async () => {
    await expect(plan('rose', { in: folder, stockSolution: 'rad' })).rejects.toThrow('Did you mean red?');
    await expect(plan('rose', { in: folder, stockSolution: 'red', goodFor: 'long' })).rejects.toThrow('--good-for 30');
    await expect(plan('rose', { in: folder, stockSolution: 'red', carrier: 'red' })).rejects.toThrow(
      'Nothing was changed',
    );
  });
});
