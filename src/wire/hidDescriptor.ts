/**
 * A HID report descriptor -> the fields of its input reports, as far as the weighing page has them.
 *
 * Source: USB-IF, Device Class Definition for Human Interface Devices 1.11, section 6.2.2 (items) and 8 (report
 * protocol: the order of bits).
 */

/** The usage page of weighing devices (USB-IF HID Usage Tables). */
export const SCALE_PAGE = 0x8d;

/** One field of the weighing page. */
export interface HidField {
  /** Where it begins, in bits, from the beginning of the report without its id. */
  readonly bit: number;
  readonly bits: number;
  /** Its lowest value; below zero means that its highest bit is a sign. */
  readonly lowest: number;
  readonly usages: readonly number[];
  /** True: its value picks one of the usages. False: it is the value of its only usage. */
  readonly choice: boolean;
}

export interface HidInputReport {
  /** Without its id. */
  bits: number;
  readonly fields: HidField[];
}

/** More bytes and fields than any real descriptor has: a hostile one ends here. */
const MOST_BYTES = 4096;
const MOST_FIELDS = 256;

/** What holds until it is said anew. */
interface Globals {
  readonly page: number;
  readonly lowest: number;
  readonly size: number;
  readonly count: number;
  readonly reportId: number;
}

/** All input reports by their ids; id 0 stands for a device that does not number its reports. Never throws. */
export function inputReports(descriptor: Uint8Array): Map<number, HidInputReport> {
  const reports = new Map<number, HidInputReport>();
  let globals: Globals = { page: 0, lowest: 0, size: 0, count: 0, reportId: 0 };
  const stack: Globals[] = [];
  /** Said for the next field, each with its page above bit 16. */
  let usages: number[] = [];
  let from = 0;

  for (const { kind, value, signed, bytes } of itemsOf(descriptor.subarray(0, MOST_BYTES))) {
    const full = (usage: number): number => (bytes === 4 ? usage : globals.page * 0x1_0000 + usage);
    switch (kind) {
      case 'page':
        globals = { ...globals, page: value };
        break;
      case 'lowest':
        globals = { ...globals, lowest: signed };
        break;
      case 'size':
        globals = { ...globals, size: value };
        break;
      case 'count':
        globals = { ...globals, count: value };
        break;
      case 'report-id':
        globals = { ...globals, reportId: value };
        break;
      case 'push':
        stack.push(globals);
        break;
      case 'pop':
        globals = stack.pop() ?? globals;
        break;
      case 'usage':
        usages.push(full(value));
        break;
      case 'usage-from':
        from = full(value);
        break;
      case 'usage-to':
        for (let usage = from; usage <= full(value) && usages.length < MOST_FIELDS; usage++) usages.push(usage);
        break;
      case 'input':
        addFields(reports, globals, usages, value);
        usages = [];
        break;
      case 'other-main':
        usages = [];
        break;
      case undefined:
        break;
    }
  }
  return reports;
}

const CONSTANT = 0b01;
const VARIABLE = 0b10;

function addFields(
  reports: Map<number, HidInputReport>,
  { lowest, size, count, reportId }: Globals,
  usages: readonly number[],
  flags: number,
): void {
  const report = reports.get(reportId) ?? { bits: 0, fields: [] };
  reports.set(reportId, report);
  const ofScales = usages.filter((usage) => usage >>> 16 === SCALE_PAGE).map((usage) => usage & 0xffff);
  const last = ofScales.at(-1);
  if (last !== undefined && ofScales.length === usages.length && (flags & CONSTANT) === 0) {
    const choice = (flags & VARIABLE) === 0;
    for (let index = 0; index < Math.min(count, MOST_FIELDS); index++) {
      const own = [ofScales[index] ?? last]; // the last usage goes for all fields that follow
      report.fields.push({
        bit: report.bits + index * size,
        bits: size,
        lowest,
        usages: choice ? ofScales : own,
        choice,
      });
    }
  }
  report.bits += size * count;
}

type ItemKind =
  | 'page'
  | 'lowest'
  | 'size'
  | 'count'
  | 'report-id'
  | 'push'
  | 'pop'
  | 'usage'
  | 'usage-from'
  | 'usage-to'
  | 'input'
  | 'other-main';

/** By the tag and type in an item's first byte; the others say nothing that matters here. */
const KINDS: ReadonlyMap<number, ItemKind> = new Map([
  [0x04, 'page'],
  [0x14, 'lowest'],
  [0x74, 'size'],
  [0x84, 'report-id'],
  [0x94, 'count'],
  [0xa4, 'push'],
  [0xb4, 'pop'],
  [0x08, 'usage'],
  [0x18, 'usage-from'],
  [0x28, 'usage-to'],
  [0x80, 'input'],
  [0x90, 'other-main'], // output
  [0xa0, 'other-main'], // collection
  [0xb0, 'other-main'], // feature
  [0xc0, 'other-main'], // end of a collection
]);
const LONG_ITEM = 0xfe;

interface Item {
  readonly kind: ItemKind | undefined;
  readonly value: number;
  /** The same bits, the highest of them read as a sign. */
  readonly signed: number;
  readonly bytes: number;
}

function* itemsOf(descriptor: Uint8Array): Generator<Item> {
  let at = 0;
  while (at < descriptor.length) {
    const head = descriptor[at] ?? 0;
    if (head === LONG_ITEM) {
      at += 3 + (descriptor[at + 1] ?? 0);
      continue;
    }
    const bytes = [0, 1, 2, 4][head & 0b11] ?? 0;
    const data = descriptor.subarray(at + 1, at + 1 + bytes);
    if (data.length < bytes) return;
    const value = data.reduceRight((sum, byte) => sum * 256 + byte, 0);
    const signed = bytes > 0 && value >= 2 ** (8 * bytes - 1) ? value - 2 ** (8 * bytes) : value;
    yield { kind: KINDS.get(head & 0b1111_1100), value, signed, bytes };
    at += 1 + bytes;
  }
}
