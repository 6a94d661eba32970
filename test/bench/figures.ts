/** Figures of a run: what was measured, and what was measured beside it in the same minutes on the same machine. */

export interface Figure {
  /** null: not measured; `why` says why. */
  readonly value: number | null;
  readonly unit: string;
  /** The same of the thing that it is compared with, in the same unit. */
  readonly beside: number | null;
  /** value / beside. */
  readonly ratio: number | null;
  /** What it is and what it stands beside. */
  readonly what: string;
  readonly why?: string;
}

export type Figures = Readonly<Record<string, Figure>>;

export function figure(what: string, unit: string, value: number, beside: number): Figure {
  return { value, unit, beside, ratio: value / beside, what };
}

/** A figure that could not be measured here. */
export function skipped(what: string, unit: string, why: string): Figure {
  return { value: null, unit, beside: null, ratio: null, what, why };
}

/** @param values at least one */
export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  const upper = sorted[middle] ?? Number.NaN;
  return sorted.length % 2 === 1 ? upper : (upper + (sorted[middle - 1] ?? upper)) / 2;
}

/** The value that 99 % of the values do not exceed (nearest rank). @param values at least one */
export function p99(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.max(0, Math.ceil(sorted.length * 0.99) - 1)] ?? Number.NaN;
}

/** One readable table; under each figure stands what it is. */
export function printTable(figures: Figures): string {
  const rows = Object.entries(figures).map(([name, { value, unit, beside, ratio, what, why }]) => ({
    cells: [name, value === null ? 'skipped' : short(value), short(beside), short(ratio), unit],
    what: value === null ? `${what}: ${why}` : what,
  }));
  const header = ['figure', 'value', 'beside', 'ratio', 'unit'];
  const widths = header.map((title, column) =>
    Math.max(title.length, ...rows.map(({ cells }) => cells[column]?.length ?? 0)),
  );
  const line = (cells: readonly string[]): string =>
    cells
      .map((cell, column) => pad(cell, widths[column] ?? 0, column >= 1 && column <= 3))
      .join('  ')
      .trimEnd();
  return [line(header), ...rows.map(({ cells, what }) => `${line(cells)}\n    ${what}`)].join('\n');
}

function pad(cell: string, wide: number, isNumber: boolean): string {
  return isNumber ? cell.padStart(wide) : cell.padEnd(wide);
}

/** Every figure as `name: {value, unit, beside, ratio}`; one that was not measured has nulls, and `why`. */
export function figuresJson(figures: Figures): string {
  const plain = Object.entries(figures).map(([name, { value, unit, beside, ratio, why }]) => [
    name,
    {
      value: rounded(value),
      unit,
      beside: rounded(beside),
      ratio: rounded(ratio),
      ...(why === undefined ? {} : { why }),
    },
  ]);
  return `${JSON.stringify(Object.fromEntries(plain), null, 2)}\n`;
}

function rounded(value: number | null): number | null {
  return value === null ? null : Number(value.toPrecision(6));
}

function short(value: number | null): string {
  if (value === null) return '';
  if (Math.abs(value) >= 1000) return Math.round(value).toLocaleString('en');
  return value.toFixed(Math.abs(value) >= 100 ? 0 : 2);
}
