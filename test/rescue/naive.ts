/**
 * The same question answered the plain way: size after size, every rule tried by hand, without a line of the planner's
 * code. Slow, and meant to be.
 */
import type { FormulaDraw, Tolerance } from '../../src/formula/model.ts';
import type { PlannedDraw } from '../../src/plan/model.ts';
import type { Meant, RescueInput } from '../../src/rescue/model.ts';
import type { Ingredient, Lot, Scale, Vessel } from '../../src/workshop/model.ts';
import { countsFor, equalParts } from '../plan/search.ts';

interface NaiveLine {
  readonly id: string;
  readonly vessel: string;
  readonly draw: FormulaDraw;
  readonly ingredient: Ingredient;
  readonly was: number;
  readonly parts: readonly { readonly task: PlannedDraw; readonly amount: number; readonly held: boolean }[];
  readonly amount: number;
  readonly where: string;
}

interface Piece {
  readonly lot: Lot;
  readonly amount: number;
  readonly left: number;
}

const MILLION = 1_000_000;

function sides(target: number, { under, over, floor }: Tolerance) {
  const side = (of: Tolerance['under']) =>
    Math.max('mass' in of ? of.mass : Math.floor((target * of.ppm) / MILLION), floor ?? 0);
  return { under: side(under), over: side(over) };
}

/** GUM: two readings, each rounded (d / sqrt 12) and scattered (s); k = 2. */
function uncertainty({ d, repeatability }: Scale): number {
  const s = repeatability ?? 0;
  return Math.ceil(2 * Math.sqrt(2 * ((d * d) / 12 + s * s)));
}

/** JCGM 106: the guard is the whole uncertainty, unless that is at most a third of the half-band. */
export function band(target: number, tolerance: Tolerance, scale: Scale, weighings: number) {
  const { under, over } = sides(target, tolerance);
  const u = Math.ceil(uncertainty(scale) * Math.sqrt(weighings));
  const guard = 3 * u <= Math.min(under, over) ? 0 : u;
  return {
    guard,
    low: Math.ceil((target - under + guard) / scale.d) * scale.d,
    high: Math.floor((target + over - guard) / scale.d) * scale.d,
  };
}

/** Hamilton's rule. */
function split(total: number, shares: readonly number[]): number[] {
  const exact = shares.map((share) => ({
    whole: Math.floor((total * share) / MILLION),
    rest: (total * share) % MILLION,
  }));
  let left = total - exact.reduce((sum, { whole }) => sum + whole, 0);
  const result = exact.map(({ whole }) => whole);
  const order = exact.map((_, index) => index).sort((a, b) => (exact[b]?.rest ?? 0) - (exact[a]?.rest ?? 0) || a - b);
  for (const index of order) {
    if (left === 0) break;
    result[index] = (result[index] ?? 0) + 1;
    left -= 1;
  }
  return result;
}

/** Can so much be weighed there, in these pieces, on pans that weigh so much before? */
function weighable(
  amount: number,
  tolerance: Tolerance,
  pieces: readonly number[],
  before: number,
  scale: Scale,
  pan: (index: number, high: number) => number,
): boolean {
  const whole = band(amount, tolerance, scale, pieces.length + before);
  const { under, over } = sides(amount, tolerance);
  const bands = [whole];
  let earlier = 0;
  pieces.forEach((piece, index) => {
    const last = index === pieces.length - 1;
    const low = last ? whole.low - earlier : piece - under + whole.guard;
    const high = last ? whole.high - earlier : piece + over - whole.guard;
    bands.push({
      guard: 0,
      low: Math.ceil(low / scale.d) * scale.d,
      high: Math.floor(high / scale.d) * scale.d,
    });
    earlier += piece;
  });
  if (pieces.some((_, index) => pan(index, bands[index + 1]?.high ?? 0) > scale.capacity)) return false;
  if (bands.some(({ low, high }) => low < scale.d || low > high)) return false;
  if (Math.min(under, over) < Math.ceil(uncertainty(scale) * Math.sqrt(pieces.length + before)) + scale.d) return false;
  const share = (of: Tolerance['under']) =>
    Math.max('mass' in of ? of.mass / amount : of.ppm / MILLION, (tolerance.floor ?? 0) / amount);
  const least =
    (2 * Math.max(scale.repeatability ?? 0, 0.41 * scale.d)) / Math.min(share(tolerance.under), share(tolerance.over));
  return amount >= least * (1 - 1e-12);
}

/** One batch size, all rules. */
class Trial {
  readonly most = new Map<string, number>();
  readonly ml = new Map<string, number>();
  readonly taken: Map<string, number>;
  readonly topUps = new Map<string, number>();
  fits = true;
  readonly input: RescueInput;
  readonly lines: readonly NaiveLine[];

  constructor(input: RescueInput, lines: readonly NaiveLine[]) {
    this.input = input;
    this.lines = lines;
    this.taken = new Map(input.used);
    for (const { parts, ingredient, where } of lines) {
      for (const { task, amount, held } of parts) {
        this.pour(this.whereIs(task, where), amount, ingredient);
        if (!held) continue;
        const peak = input.state.draws[task.id]?.peak ?? 0;
        this.take(ingredient, task.lot, task.way === 'subtract' ? amount : Math.max(amount, peak));
      }
    }
    this.fits = true; // how full it is by now is no fault of the scale-up
  }

  private whereIs(task: PlannedDraw, otherwise: string): string {
    for (const [id, vessel] of Object.entries(this.input.state.vessels)) if (vessel.holds.includes(task.id)) return id;
    return otherwise && task.vessel;
  }

  private vessel(id: string): Vessel {
    const vessel = this.input.workshop.vessels.get(id);
    if (!vessel) throw new Error(`no vessel ${id}`);
    return vessel;
  }

  pour(id: string, amount: number, { density }: Ingredient): void {
    this.most.set(id, (this.most.get(id) ?? 0) + amount);
    this.ml.set(id, (this.ml.get(id) ?? 0) + (density === undefined ? 0 : amount / MILLION / density));
    this.watch(id);
  }

  private watch(id: string): void {
    const { usableMl } = this.vessel(id);
    if (usableMl !== undefined && (this.ml.get(id) ?? 0) > usableMl) this.fits = false;
  }

  combine(from: string, into: string): void {
    this.most.set(into, (this.most.get(into) ?? 0) + (this.most.get(from) ?? 0));
    this.ml.set(into, (this.ml.get(into) ?? 0) + (this.ml.get(from) ?? 0));
    this.most.set(from, 0);
    this.ml.set(from, 0);
    this.watch(into);
  }

  take({ id }: Ingredient, lot: string, amount: number): void {
    this.taken.set(`${id} ${lot}`, (this.taken.get(`${id} ${lot}`) ?? 0) + amount);
  }

  private left({ id }: Ingredient, lot: Lot): number {
    return lot.onHand - (this.taken.get(`${id} ${lot.id}`) ?? 0);
  }

  /** From the lots in date, the one that ends first first; as few passed over as can be, no crumbs. */
  private pieces(ingredient: Ingredient, amount: number, crumb: number): Piece[] | null {
    const lots = ingredient.lots
      .map((lot) => ({ lot, left: this.left(ingredient, lot) }))
      .filter(({ lot, left }) => left > 0 && (lot.expires ?? '9') >= this.input.today)
      .sort((a, b) => {
        const [x, y] = [`${a.lot.expires ?? '9999-99-99'} ${a.lot.id}`, `${b.lot.expires ?? '9999-99-99'} ${b.lot.id}`];
        return x < y ? -1 : 1;
      })
      .filter(({ left }) => left >= Math.min(crumb, amount));
    for (let skip = 0; skip < lots.length; skip++) {
      const found: Piece[] = [];
      let wanted = amount;
      for (const { lot, left } of lots.slice(skip)) {
        if (wanted === 0) break;
        found.push({ lot, left, amount: Math.min(left, wanted) });
        wanted -= Math.min(left, wanted);
      }
      if (wanted > 0) return null;
      if (found.length === 1 || found.every((piece) => piece.amount >= crumb)) return found;
    }
    return null;
  }

  /** Any scale and any way, or the prescribed ones. */
  private anyWay(
    line: NaiveLine,
    draw: FormulaDraw,
    amount: number,
    tolerance: Tolerance,
    pieces: readonly Piece[],
    before: number,
    into: string,
    mostParts = 1,
  ): boolean {
    const { workshop, formula } = this.input;
    const amounts = pieces.map((piece) => piece.amount);
    const { under, over } = sides(amount, tolerance);
    const scales = [...workshop.scales.values()].filter(({ id }) => draw.scale === undefined || draw.scale === id);
    const may = (way: string) => draw.way === undefined || draw.way === way;
    const atWork = new Set(
      formula.phases.flatMap(({ vessel, work }) => [
        vessel,
        ...work.flatMap((item) => (item.kind === 'step' ? [item.vessel, item.into] : [])),
      ]),
    );
    const jars = new Set([...workshop.ingredients.values()].flatMap(({ lots }) => lots.map(({ jar }) => jar)));
    const cups = [...workshop.vessels.values()].filter(({ id, usableMl }) =>
      draw.cup === undefined ? usableMl !== undefined && !atWork.has(id) && !jars.has(id) : draw.cup === id,
    );
    const { density } = line.ingredient;
    return scales.some((scale) => {
      if (may('add')) {
        const bowl = this.vessel(into).tare + (this.most.get(into) ?? 0);
        const load = (index: number, high: number) =>
          bowl + amounts.slice(0, index).reduce((sum, each) => sum + each, 0) + high;
        if (weighable(amount, tolerance, amounts, before, scale, load)) return true;
      }
      if (may('cup')) {
        for (const cup of cups) {
          for (const counts of countsFor(amounts.length, Math.max(amounts.length, mostParts))) {
            const parts = amounts.flatMap((each, index) => equalParts(each, counts[index] ?? 1));
            const isCut = parts.length > amounts.length;
            if (isCut && parts.some((each) => each < 2 * Math.max(under, over))) continue;
            const mosts = parts.map((each, index) => each + over + (index === parts.length - 1 ? index * under : 0));
            const roomy = mosts.every((most) => {
              return density === undefined || cup.usableMl === undefined || most / MILLION / density <= cup.usableMl;
            });
            const load = (index: number, high: number) => cup.tare + (parts.length > 1 ? (mosts[index] ?? 0) : high);
            if (roomy && weighable(amount, tolerance, parts, before, scale, load)) return true;
          }
        }
      }
      if (may('subtract') && pieces.every(({ lot }) => lot.jar !== undefined)) {
        const load = (index: number) => this.vessel(pieces[index]?.lot.jar ?? '').tare + (pieces[index]?.left ?? 0);
        if (weighable(amount, tolerance, amounts, before, scale, load)) return true;
      }
      return false;
    });
  }

  /** A draw that nothing has gone in of. */
  open(line: NaiveLine, target: number): void {
    const { draw, ingredient, vessel } = line;
    const { under, over } = sides(target, draw.tolerance);
    if (under >= target) this.fits = false;
    const pieces = this.pieces(ingredient, target, 2 * Math.max(under, over));
    if (!pieces || !this.anyWay(line, draw, target, draw.tolerance, pieces, 0, vessel, 4)) this.fits = false;
    for (const { lot, amount } of pieces ?? []) this.take(ingredient, lot.id, amount);
    this.pour(vessel, target + over, ingredient);
  }

  private judging({ parts }: NaiveLine): Scale {
    const scales = parts
      .map(({ task }) => this.input.workshop.scales.get(task.scale))
      .filter((scale) => scale !== undefined);
    const coarsest = scales.sort((a, b) => b.d - a.d)[0];
    if (!coarsest) throw new Error('no scale');
    return coarsest;
  }

  /** What is in already. */
  made(line: NaiveLine, target: number, meant: Meant, grows: boolean): void {
    const { draw, ingredient, parts, amount } = line;
    const scale = this.judging(line);
    const { low, high } = band(target, draw.tolerance, scale, parts.length);
    if (amount > high || (meant === 'exact' && amount > target)) this.fits = false;
    const inBand = amount >= low;
    if (inBand && (!grows || amount === target)) return;
    const held = parts.at(-1)?.held ? parts.at(-1) : undefined;
    if (held) {
      const half = target - Math.ceil((target - Math.floor((target - amount) / 2)) / scale.d) * scale.d;
      const isTold = half >= Math.ceil(uncertainty(scale) * Math.sqrt(parts.length)) + scale.d;
      const goes = this.goesOn(line, held, target, low, high);
      if (goes && (!inBand || isTold)) {
        this.take(ingredient, held.task.lot, target - amount);
        this.pour(line.where, Math.max(target, high) - amount, ingredient);
        this.topUps.set(line.id, -1);
        return;
      }
      if (inBand) return;
    }
    if (!this.toppedUp(line, target, inBand) && !inBand) this.fits = false;
  }

  private goesOn(
    line: NaiveLine,
    { task, amount }: NaiveLine['parts'][number],
    target: number,
    low: number,
    high: number,
  ): boolean {
    const { workshop, state } = this.input;
    const lot = line.ingredient.lots.find(({ id }) => id === task.lot);
    const scale = workshop.scales.get(task.scale);
    if (!lot || !scale || target <= line.amount || this.left(line.ingredient, lot) < target - line.amount) return false;
    const most = high - (line.amount - amount);
    const load = (state.draws[task.id]?.base ?? 0) + (task.way === 'subtract' ? 0 : most);
    const { usableMl } = this.vessel(task.on);
    const { density } = line.ingredient;
    const roomy =
      task.way !== 'cup' || density === undefined || usableMl === undefined || most / MILLION / density <= usableMl;
    const { tolerance } = line.draw;
    const share = (of: Tolerance['under']) =>
      Math.max('mass' in of ? of.mass / target : of.ppm / MILLION, (tolerance.floor ?? 0) / target);
    const least =
      (2 * Math.max(scale.repeatability ?? 0, 0.41 * scale.d)) /
      Math.min(share(tolerance.under), share(tolerance.over));
    const { under, over } = sides(target, tolerance);
    const isWide = Math.min(under, over) >= Math.ceil(uncertainty(scale) * Math.sqrt(line.parts.length)) + scale.d;
    return roomy && isWide && load <= scale.capacity && low >= scale.d && low <= high && target >= least * (1 - 1e-12);
  }

  private toppedUp(line: NaiveLine, target: number, inBand: boolean): boolean {
    const { draw, ingredient, parts, amount, where } = line;
    const more = target - amount;
    if (more <= 0) return false; // the guard has eaten the whole band
    const { under, over } = sides(target, draw.tolerance);
    const pieces = this.pieces(ingredient, more, 2 * Math.max(under, over));
    if (!pieces) return false;
    const off = {
      under: { mass: inBand ? Math.min(under, Math.floor(more / 2)) : under },
      over: { mass: over },
      floor: undefined,
    } as Tolerance;
    const free = { ...draw, way: undefined, scale: undefined, cup: undefined };
    const can = (as: FormulaDraw) => this.anyWay(line, as, more, off, pieces, parts.length, where);
    if (!can(draw) && !can(free)) return false;
    for (const piece of pieces) this.take(ingredient, piece.lot.id, piece.amount);
    this.pour(where, more + over, ingredient);
    this.topUps.set(line.id, more);
    return true;
  }
}

function linesOf({ formula, workshop, state, held }: RescueInput): NaiveLine[] {
  const lines: NaiveLine[] = [];
  for (const phase of formula.phases) {
    let number = 0;
    for (const item of phase.work) {
      if (item.kind === 'step') continue;
      number += 1;
      const id = `${phase.id}${number}`;
      const ingredient = workshop.ingredients.get(item.ingredient);
      if (!ingredient) throw new Error(`no ingredient ${item.ingredient}`);
      const tasks = state.plan.tasks.filter(
        (task) => task.kind === 'draw' && (task.id === id || task.id.startsWith(`${id}.`)),
      ) as PlannedDraw[];
      const parts = tasks.flatMap((task) => {
        if (held?.draw === task.id) return [{ task, amount: held.net as number, held: true }];
        const known = state.draws[task.id];
        const amount = known?.bowl ?? known?.net;
        return amount == null ? [] : [{ task, amount: amount as number, held: false }];
      });
      const largest = [...parts].sort((a, b) => b.amount - a.amount)[0];
      const where = Object.entries(state.vessels).find(
        ([, { holds }]) => largest && holds.includes(largest.task.id),
      )?.[0];
      lines.push({
        id,
        vessel: phase.vessel,
        draw: item,
        ingredient,
        was: tasks[0]?.part?.target ?? tasks[0]?.target ?? 0,
        parts,
        amount: parts.reduce((sum, { amount }) => sum + amount, 0),
        where: where ?? phase.vessel,
      });
    }
  }
  return lines;
}

export interface NaiveFound {
  readonly mass: number;
  /** What is added to each line that is in; those that are on the pan and go on have none. */
  readonly topUps: ReadonlyMap<string, number>;
}

/**
 * Is this size open? Exactly means that what is in its band gets its full share too, where that can be.
 * @returns what is topped up, or null
 */
export function naiveTry(input: RescueInput, size: number, meant: Meant, lines = linesOf(input)): NaiveFound | null {
  const plain = naiveSize(input, size, meant, false, lines);
  if (!plain || meant === 'within bands') return plain;
  return naiveSize(input, size, meant, true, lines) ?? plain;
}

function naiveSize(
  input: RescueInput,
  size: number,
  meant: Meant,
  grows: boolean,
  lines: readonly NaiveLine[],
): NaiveFound | null {
  const { state, formula } = input;
  // Before any rounding: nothing that is in is too much, and no target shrinks.
  for (const { draw, parts, amount, was } of lines) {
    const whole = Math.floor((size * draw.share) / MILLION);
    if (whole < was) return null;
    if (parts.length === 0) continue;
    const scales = parts
      .map(({ task }) => input.workshop.scales.get(task.scale))
      .sort((a, b) => (b?.d ?? 0) - (a?.d ?? 0));
    const [scale] = scales;
    if (!scale) return null;
    if (amount > band(whole, draw.tolerance, scale, parts.length).high) return null;
    if (meant === 'exact' && amount > whole) return null;
  }
  const targets = split(
    size,
    lines.map(({ draw }) => draw.share),
  );
  const target = new Map(lines.map(({ id }, index) => [id, targets[index] ?? 0]));
  const trial = new Trial(input, lines);
  const held = lines.find(({ parts }) => parts.some((part) => part.held));
  const made = lines.filter(({ parts }) => parts.length > 0);
  for (const here of [true, false]) {
    for (const line of made)
      if ((line.where === held?.where) === here) trial.made(line, target.get(line.id) ?? 0, meant, grows);
  }
  const planned = new Set(made.map(({ id }) => id));
  for (const task of state.plan.tasks) {
    if (task.kind === 'step') {
      if (task.step === 'combine' && !state.steps[task.id]?.done) trial.combine(task.vessel ?? '', task.into ?? '');
      continue;
    }
    const line = lines.find(({ id }) => task.id === id || task.id.startsWith(`${id}.`));
    if (!line || planned.has(line.id)) continue;
    planned.add(line.id);
    trial.open(line, target.get(line.id) ?? 0);
  }
  if (!trial.fits) return null;
  const willBe = lines.map((line) => ({
    line,
    amount: line.parts.length > 0 && !trial.topUps.has(line.id) ? line.amount : (target.get(line.id) ?? 0),
  }));
  const total = willBe.reduce((sum, { amount }) => sum + amount, 0);
  for (const { ingredients, ppm, dryingPpm } of formula.limits ?? []) {
    const amount = willBe.reduce(
      (sum, each) => sum + (ingredients.includes(each.line.ingredient.id) ? each.amount : 0),
      0,
    );
    if (BigInt(amount) * 10n ** 12n > BigInt(ppm) * BigInt(total) * BigInt(MILLION - dryingPpm)) return null;
  }
  return { mass: size, topUps: new Map([...trial.topUps].filter(([, more]) => more > 0)) };
}

/** The smallest size up to twice the batch; `sizes`: every one, or whole bars. */
export function naiveSearch(input: RescueInput, meant: Meant, sizes: Iterable<number>): NaiveFound | null {
  const lines = linesOf(input);
  for (const size of sizes) {
    const found = naiveTry(input, size, meant, lines);
    if (found) return found;
  }
  return null;
}

/** Whether anything that is in is over its band or its share. */
export function naiveOver(input: RescueInput): boolean {
  return linesOf(input).some(({ draw, parts, amount, was }) => {
    const scales = parts
      .map(({ task }) => input.workshop.scales.get(task.scale))
      .sort((a, b) => (b?.d ?? 0) - (a?.d ?? 0));
    const [scale] = scales;
    return scale !== undefined && amount > band(was, draw.tolerance, scale, parts.length).high;
  });
}
