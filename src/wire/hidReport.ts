/**
 * One report of a USB HID scale -> what it says. It never throws and never guesses: what is not clear is refused.
 *
 * Source: USB-IF HID Usage Tables, weighing devices page 0x8D (from the HID Point of Sale Usage Tables).
 */
import type { Mass } from '../mass/mass.ts';
import { MICROGRAMS_IN, toMicrograms, type Unit } from '../mass/units.ts';
import { type HidLayout, numberAt, USUAL_LAYOUT, usageAt } from './hidLayout.ts';
import type { Condition, Decoded } from './reading.ts';

interface NoWeight {
  readonly condition: Condition;
  readonly words: string;
}

const STATES = new Map<number, 'stable' | 'moving' | NoWeight>([
  [0x71, { condition: 'fault', words: 'the scale reports a fault' }],
  [0x72, 'stable'], // at the centre of zero
  [0x73, 'moving'],
  [0x74, 'stable'],
  // The weight has no sign of its own, so below zero there is no number to take.
  [0x75, { condition: 'under-range', words: 'below zero' }],
  [0x76, { condition: 'over-range', words: 'more than the scale can weigh' }],
  [0x77, { condition: 'fault', words: 'the scale asks to be calibrated' }],
  [0x78, { condition: 'fault', words: 'the scale asks to be set to zero again, with nothing on it' }],
]);

/** A unit, or why it is not taken. */
const UNITS = new Map<number, Unit | { readonly refused: string }>([
  [0x51, 'mg'],
  [0x52, 'g'],
  [0x53, 'kg'],
  [0x54, 'ct'],
  [0x55, { refused: 'the scale shows taels, which have several legal sizes: set it to another unit' }],
  [0x56, 'gr'],
  [0x57, 'dwt'],
  [0x58, { refused: 'the scale shows tonnes: set it to another unit' }],
  [0x59, { refused: 'the scale shows tons, which have two sizes: set it to another unit' }],
  [0x5a, 'ozt'],
  [0x5b, 'oz'],
  [0x5c, 'lb'],
]);

/**
 * Decodes one input report.
 * @param report as the system hands it over: with its id first, where the device numbers its reports. It may be
 * filled up with zeros; anything else behind the layout's end is refused.
 * @param at when it came, monotonic milliseconds
 * @param layout from the device's report descriptor; the usual one where that can't be had
 */
export function decodeHidReport(report: Uint8Array, at: number, layout: HidLayout = USUAL_LAYOUT): Decoded {
  const raw = inHex(report);
  const refused = (why: string): Decoded => ({ kind: 'refused', why, at, raw });
  const [id] = report;
  if (layout.reportId !== undefined && id !== undefined && id !== layout.reportId) {
    return refused(`report ${id} is not the one with the weight (${layout.reportId})`);
  }
  if (report.length < layout.length) return refused(`a report of ${report.length} bytes is cut short`);
  if (report.subarray(layout.length).some((byte) => byte !== 0)) return refused('the report is too long');

  const state = STATES.get(usageAt(report, layout.status) ?? 0);
  if (state === undefined) return refused(`the status ${numberAt(report, layout.status)} has no meaning`);
  if (typeof state === 'object') {
    return { kind: 'condition', condition: state.condition, at, raw: `${raw} (${state.words})` };
  }

  const unit = UNITS.get(usageAt(report, layout.unit) ?? 0);
  if (unit === undefined) return refused(`the unit ${numberAt(report, layout.unit)} has no meaning`);
  if (typeof unit === 'object') return refused(unit.refused);

  const weight = scaled(numberAt(report, layout.weight), numberAt(report, layout.scaling), unit);
  if (typeof weight === 'string') return refused(weight);
  return { kind: 'reading', reading: { mass: weight, unit, stable: state === 'stable', at, raw } };
}

/** From a microgram to 9000 t are 16 powers of ten. */
const LARGEST_EXPONENT = 16;

/** `count * 10^exponent` of a unit; a sentence when that can't be the weight on a scale. */
function scaled(count: number, exponent: number, unit: Unit): Mass | string {
  const { numerator, denominator } = MICROGRAMS_IN[unit];
  if (Math.abs(exponent) > LARGEST_EXPONENT) return `a scaling of 10^${exponent} is none of a scale`;
  if (exponent < 0 && numerator < denominator * 10n ** BigInt(-exponent)) {
    return `steps of 10^${exponent} ${unit} are less than a microgram, which no such scale can tell`;
  }
  try {
    return toMicrograms(BigInt(count) * 10n ** BigInt(Math.max(exponent, 0)), Math.max(-exponent, 0), unit);
  } catch {
    return `${count} x 10^${exponent} ${unit} is no weight on a scale`;
  }
}

/** Bytes that are shown; the whole stays below 120 characters. */
const MOST_SHOWN = 16;

function inHex(report: Uint8Array): string {
  const shown = Array.from(report.subarray(0, MOST_SHOWN), (byte) => byte.toString(16).toUpperCase().padStart(2, '0'));
  return shown.join(' ') + (report.length > MOST_SHOWN ? ' ...' : '');
}
