/** The tables of the printed record. Each prints its head again on every page that it reaches. */
import type { WeighedBack } from '../../facts/fact.ts';
import { type Mass, minus, ZERO } from '../../mass/mass.ts';
import { printMass } from '../../mass/text.ts';
import { hasPrices } from '../../stock/cost.ts';
import { printMoney } from '../../stock/money.ts';
import type { BatchRecord } from './batchRecord.ts';
import { costOfRecord } from './recordCost.ts';
import { decimalsOfScale, plannedDraw } from './recordDraws.ts';
import { Columns } from './recordParts.tsx';
import { vesselName } from './recordSentences.ts';
import { clock, finestDecimals } from './recordWords.ts';

interface OfRecord {
  readonly record: BatchRecord;
}

/** What was weighed and given up, and what was thrown away before it was accepted. */
export function NotInBatchTable({ record }: OfRecord) {
  const { plan, givenUp, discarded } = record;
  const rows = [
    ...givenUp.map(({ draw, lot, name, taken, decimals, givenUpFor, at, by }) => {
      return { draw, lot, name, amount: printMass(taken, { decimals }), why: `given up: ${givenUpFor}`, at, by };
    }),
    ...discarded.map(({ draw, lot, amount, reason, at, by }) => {
      const planned = plannedDraw(plan, draw);
      const decimals = decimalsOfScale(plan, planned?.scale ?? '');
      const name = planned?.name ?? '';
      return { draw, lot, name, amount: printMass(amount, { decimals }), why: `thrown away: ${reason}`, at, by };
    }),
  ].sort((a, b) => Date.parse(a.at) - Date.parse(b.at));
  if (rows.length === 0) return null;
  return (
    <section>
      <h2>
        Weighed, and not in the batch <small>grams that left the lot</small>
      </h2>
      <table>
        <Columns
          of={[
            [6.5, 'Draw'],
            [24, 'Ingredient'],
            [11, 'Lot'],
            [10, '#Amount'],
            [37, 'What became of it'],
            [11.5, 'Time, by'],
          ]}
        />
        {rows.map((row, index) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: rendered once, never reordered
          <tbody key={index}>
            <tr>
              <td>{row.draw}</td>
              <td>{row.name}</td>
              <td>{row.lot}</td>
              <td className="number">{row.amount}</td>
              <td>{row.why}</td>
              <td>
                {clock(row.at, record)}
                <small>{row.by}</small>
              </td>
            </tr>
          </tbody>
        ))}
      </table>
    </section>
  );
}

/** The work between the draws. */
export function StepTable({ record }: OfRecord) {
  if (record.steps.length === 0) return null;
  return (
    <section>
      <h2>Steps</h2>
      <table>
        <Columns
          of={[
            [6.5, 'Step'],
            [52, 'What was to be done'],
            [9, '#Bursts'],
            [11, 'Begun'],
            [11, 'Done'],
            [10.5, 'By'],
          ]}
        />
        {record.steps.map(({ step, say, bursts, begun, done, by, weighedBack }, index) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: rendered once, never reordered
          <tbody key={index}>
            <tr>
              <td>{step}</td>
              <td>
                {say}
                {weighedBack && ` ${stuckInWords(record, weighedBack)}`}
                {measuredAt(record, step)}
              </td>
              <td className="number">{bursts > 0 ? bursts : ''}</td>
              <td>{begun === null ? '' : clock(begun, record)}</td>
              <td>{done === null ? 'not done' : clock(done, record)}</td>
              <td>{by}</td>
            </tr>
          </tbody>
        ))}
      </table>
    </section>
  );
}

/** The values of a step that asks for one, or that there are none; nothing where none is asked for. */
function measuredAt({ plan, measured }: BatchRecord, step: string): string | undefined {
  const asks = plan.tasks.some((task) => task.kind === 'step' && task.id === step && task.measure);
  const found = measured.filter((each) => each.step === step).map(({ say }) => ` ${say}.`);
  if (found.length === 0) return asks ? ' NO VALUE NOTED.' : undefined;
  return found.join('').replace(' m', ' M');
}

function stuckInWords({ plan }: BatchRecord, { vessel, scale, residue, uncertainty }: WeighedBack): string {
  const decimals = decimalsOfScale(plan, scale);
  const about = printMass(uncertainty, { decimals: decimals + 1, rounding: 'up' });
  return `${printMass(residue, { decimals })} g (±${about} g) stuck to ${vesselName(plan, vessel)}.`;
}

/** Each vessel as a whole against the sum of what went into it. */
export function SumTable({ record }: OfRecord) {
  const { plan, sums } = record;
  if (sums.length === 0) return null;
  return (
    <section>
      <h2>Sums</h2>
      <table>
        <Columns
          of={[
            [32, 'Vessel'],
            [13, '#Weighed g'],
            [13, '#Sum g'],
            [13, '#Off g'],
            [13, '#Allowed g'],
            [16, 'At'],
          ]}
        />
        <tbody>
          {sums.map(({ seq, vessel, scale, found, expected, allowed, at, reason }) => {
            const show = (of: Mass) => printMass(of, { decimals: decimalsOfScale(plan, scale) });
            return (
              <tr key={seq}>
                <td>{vesselName(plan, vessel)}</td>
                <td className="number">{show(found)}</td>
                <td className="number">{show(expected)}</td>
                <td className="number">
                  {printMass(minus(found, expected), { decimals: decimalsOfScale(plan, scale), plus: true })}
                </td>
                <td className="number">{show(allowed)}</td>
                <td>{reason === null ? clock(at, record) : `${clock(at, record)}, kept: ${reason}`}</td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </section>
  );
}

/** What each lot paid, for stock and recall, and what it cost. */
export function LotTable({ record }: OfRecord) {
  const { plan, lots, totals } = record;
  if (lots.length === 0) return null;
  const decimals = finestDecimals(plan);
  const cost = costOfRecord(record);
  const isPriced = hasPrices(cost);
  const money = cost.currency === null ? '' : ` ${cost.currency}`;
  const sum = (of: Mass) => <td className="number">{printMass(of, { decimals })}</td>;
  return (
    <section>
      <h2>
        Lots <small>grams</small>
      </h2>
      <table>
        <Columns
          of={[
            [15, 'Lot'],
            [31, 'Ingredient'],
            [12, '#Left the lot'],
            [12, '#In the batch'],
            [9, '#Waste'],
            ...(isPriced ? [[11, `#Cost${money}`] as const] : []),
            [10, 'Remark'],
          ]}
        />
        {cost.lines.map(({ lot, ingredient, name, taken, waste, pricePerKg, cost: paid }, index) => (
          <tbody key={`${ingredient}/${lot}`}>
            <tr>
              <td className="main">{lot}</td>
              <td>{name}</td>
              {sum(taken)}
              {sum(lots[index]?.bowl ?? ZERO)}
              <td className="number">{waste === 0 ? '' : printMass(waste, { decimals })}</td>
              {isPriced && <td className="number">{pricePerKg === null ? 'no price' : printMoney(paid)}</td>}
              <td>{lots[index]?.ended ? 'used up' : ''}</td>
            </tr>
          </tbody>
        ))}
        <tfoot>
          <tr>
            <th scope="row" colSpan={2}>
              Sum
            </th>
            {sum(totals.taken)}
            {sum(totals.bowl)}
            {sum(totals.waste)}
            {isPriced && <td className="number">{printMoney(cost.material)}</td>}
            <td />
          </tr>
        </tfoot>
      </table>
    </section>
  );
}
