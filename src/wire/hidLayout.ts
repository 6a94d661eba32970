/**
 * Where in a USB HID scale's report its values stand. The device's report descriptor rules; where the system does not
 * hand it out, the usual layout is taken.
 *
 * Source: USB-IF HID Usage Tables, weighing devices page 0x8D.
 */
import { type HidField, inputReports } from './hidDescriptor.ts';

const DATA_WEIGHT = 0x40;
const DATA_SCALING = 0x41;
/** First and last usage. */
const STATES: Span = [0x71, 0x78];
const UNITS: Span = [0x51, 0x5c];

type Span = readonly [first: number, last: number];

/** A whole number in a report, low byte first. */
export interface NumberPlace {
  /** Byte of the report that it begins at; the report id, where there is one, is byte 0. */
  readonly byte: number;
  readonly bytes: 1 | 2 | 4;
  readonly signed: boolean;
}

/** A number that stands for one usage out of a list. */
export interface ChoicePlace extends NumberPlace {
  /** The value that stands for the first usage. */
  readonly lowest: number;
  readonly usages: readonly number[];
}

export interface HidLayout {
  /** undefined: the device does not number its reports, so no byte is spent on that. */
  readonly reportId: number | undefined;
  /** Bytes of the whole report. */
  readonly length: number;
  readonly status: ChoicePlace;
  readonly unit: ChoicePlace;
  readonly scaling: NumberPlace;
  readonly weight: NumberPlace;
}

/** Report 3: status, unit, scaling with a sign, weight in two bytes without one. */
export const USUAL_LAYOUT: HidLayout = {
  reportId: 3,
  length: 6,
  status: { byte: 1, bytes: 1, signed: false, lowest: 1, usages: usagesOf(STATES) },
  unit: { byte: 2, bytes: 1, signed: false, lowest: 1, usages: usagesOf(UNITS) },
  scaling: { byte: 3, bytes: 1, signed: true },
  weight: { byte: 4, bytes: 2, signed: false },
};

/** The number at a place. The report must be as long as its layout says. */
export function numberAt(report: Uint8Array, { byte, bytes, signed }: NumberPlace): number {
  const view = new DataView(report.buffer, report.byteOffset, report.byteLength);
  if (bytes === 1) return signed ? view.getInt8(byte) : view.getUint8(byte);
  if (bytes === 2) return signed ? view.getInt16(byte, true) : view.getUint16(byte, true);
  return signed ? view.getInt32(byte, true) : view.getUint32(byte, true);
}

/** The usage that the number at a place stands for; undefined when it stands for none. */
export function usageAt(report: Uint8Array, place: ChoicePlace): number | undefined {
  return place.usages[numberAt(report, place) - place.lowest];
}

/**
 * Finds the layout in a report descriptor.
 * @returns undefined when no input report has status, unit, scaling and weight, all in whole bytes
 */
export function readHidLayout(descriptor: Uint8Array): HidLayout | undefined {
  for (const [id, { bits, fields }] of inputReports(descriptor)) {
    const idBytes = id === 0 ? 0 : 1;
    const status = choicePlace(fields, STATES, idBytes);
    const unit = choicePlace(fields, UNITS, idBytes);
    const scaling = valuePlace(fields, DATA_SCALING, idBytes);
    const weight = valuePlace(fields, DATA_WEIGHT, idBytes);
    if (!status || !unit || !scaling || !weight) continue;
    const reportId = id === 0 ? undefined : id;
    return { reportId, length: Math.ceil(bits / 8) + idBytes, status, unit, scaling, weight };
  }
  return undefined;
}

function choicePlace(fields: readonly HidField[], [first, last]: Span, idBytes: number): ChoicePlace | undefined {
  const field = fields.find(({ choice, usages }) => choice && usages.every((each) => each >= first && each <= last));
  const place = field && placeOf(field, idBytes);
  return place && { ...place, lowest: field.lowest, usages: field.usages };
}

function valuePlace(fields: readonly HidField[], usage: number, idBytes: number): NumberPlace | undefined {
  const found = fields.filter(({ choice, usages }) => !choice && usages[0] === usage);
  const [field] = found;
  return field && found.length === 1 ? placeOf(field, idBytes) : undefined;
}

function placeOf({ bit, bits, lowest }: HidField, idBytes: number): NumberPlace | undefined {
  const bytes = bits / 8;
  if (bit % 8 !== 0 || (bytes !== 1 && bytes !== 2 && bytes !== 4)) return undefined;
  return { byte: bit / 8 + idBytes, bytes, signed: lowest < 0 };
}

function usagesOf([first, last]: Span): number[] {
  return Array.from({ length: last - first + 1 }, (_, index) => first + index);
}
