/**
 * The net contents line, in metric and avoirdupois. The figure that the maker declares stands as she wrote it; the other
 * is converted and rounded down, never so as to overstate (NIST on metric labelling; Uniform Packaging and Labeling
 * Regulation, NIST Handbook 130). Fractions of an ounce: at most two decimals (the same). From one pound to under four,
 * ounces and pounds both stand (21 CFR 701.13, from memory); from four pounds on, pounds and ounces (from memory).
 */
import type { NetDeclared } from '../formula/model.ts';
import { readDecimal } from '../mass/text.ts';
import { MICROGRAMS_IN } from '../mass/units.ts';

export interface NetContents {
  /** Reg. (EC) 1223/2009, Art. 19(1)(b): the nominal content at the time of packing. */
  readonly EU: string;
  readonly US: string;
  /** The EU asks for none below 5 g (the same). */
  readonly neededInEU: boolean;
}

/** A declared weight as an exact fraction of micrograms; digits times unit, never rounded. */
function exact({ number, unit }: NetDeclared): { numerator: bigint; denominator: bigint } {
  const { digits, scale } = readDecimal(number) ?? { digits: 0n, scale: 0 };
  const { numerator, denominator } = MICROGRAMS_IN[unit];
  return { numerator: digits * numerator, denominator: denominator * 10n ** BigInt(scale) };
}

/** How many steps of so many micrograms a weight reaches, rounded down. */
function steps(declared: NetDeclared, stepNumerator: bigint, stepDenominator: bigint): bigint {
  const { numerator, denominator } = exact(declared);
  return (numerator * stepDenominator) / (denominator * stepNumerator);
}

/** `1234` hundredths as `12.34`, without needless zeros. */
function decimal(digits: bigint, decimals: number): string {
  const text = digits.toString().padStart(decimals + 1, '0');
  if (decimals === 0) return text;
  return `${text.slice(0, -decimals)}.${text.slice(-decimals)}`.replace(/\.?0+$/, '');
}

const POUND = 1600n; // hundredths of an ounce

function avoirdupois(declared: NetDeclared): string {
  const ounce = MICROGRAMS_IN.oz;
  const hundredths = steps(declared, ounce.numerator, ounce.denominator * 100n);
  const ounces = declared.unit === 'oz' ? `${declared.number} oz` : `${decimal(hundredths, 2)} oz`;
  if (hundredths < POUND) return ounces;
  const rest = hundredths % POUND;
  const pounds = `${hundredths / POUND} lb${rest === 0n ? '' : ` ${decimal(rest, 2)} oz`}`;
  return hundredths < 4n * POUND ? `${ounces} (${pounds})` : pounds;
}

/** Grams (kilograms from 1000 g) to three digits, as many as Handbook 130 has in its examples (from memory). */
function metric(declared: NetDeclared): string {
  if (declared.unit === 'g' || declared.unit === 'kg') return `${declared.number} ${declared.unit}`;
  const whole = steps(declared, 1_000_000n, 1n);
  if (whole >= 1000n) {
    const decimals = whole >= 100_000n ? 0 : whole >= 10_000n ? 1 : 2;
    return `${decimal(steps(declared, 1_000_000_000n, 10n ** BigInt(decimals)), decimals)} kg`;
  }
  const decimals = whole >= 100n ? 0 : whole >= 10n ? 1 : 2;
  return `${decimal(steps(declared, 1_000_000n, 10n ** BigInt(decimals)), decimals)} g`;
}

/** @param declared as `readNet` reads it */
export function netContents(declared: NetDeclared): NetContents {
  const inMetric = metric(declared);
  const us = avoirdupois(declared);
  const between = us.includes('(') ? ` ${inMetric}` : ` (${inMetric})`;
  return { EU: inMetric, US: `Net Wt ${us}${between}`, neededInEU: steps(declared, 5_000_000n, 1n) >= 1n };
}

/** Whether a bar still weighs what is declared once it has dried: `bar x (1 - drying) >= declared`. Exact. */
export function keepsToNet(declared: NetDeclared, barMicrograms: number, dryingPpm: number): boolean {
  const { numerator, denominator } = exact(declared);
  return BigInt(barMicrograms) * BigInt(1_000_000 - dryingPpm) * denominator >= numerator * 1_000_000n;
}
