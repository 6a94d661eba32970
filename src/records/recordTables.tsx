/** The tables of the printed record. Each prints its head again on every page that it reaches. */
import type { WeighedBack } from '../facts/fact.ts';
import { type Mass, minus, sumOf, ZERO } from '../mass/mass.ts';
import { printMass } from '../mass/text.ts';
import type { BatchRecord } from './batchRecord.ts';
import { decimalsOfScale, plannedDraw, type RecordDraw } from './recordDraws.ts';
import { notesOf, vesselName } from './recordSentences.ts';
import { clock, finestDecimals, plannedGrams } from './recordWords.ts';

interface OfRecord {
  readonly record: BatchRecord;
}

/** Share of the width for each column, in percent, with its heading. A heading that begins with `#` is a number's. */
function Columns({ of }: { readonly of: readonly (readonly [number, string])[] }) {
  return (
    <>
      <colgroup>
        {of.map(([share, name]) => (
          <col key={name} width={`${share}%`} />
        ))}
      </colgroup>
      <thead>
        <tr>
          {of.map(([, name]) => (
            <th key={name} scope="col" className={name.startsWith('#') ? 'number' : undefined}>
              {name.replace('#', '')}
            </th>
          ))}
        </tr>
      </thead>
    </>
  );
}

/** Every accepted draw, phase by phase, in the order of weighing. */
export function WeighingTable({ record }: OfRecord) {
  if (record.draws.length === 0) return <p>Nothing has been weighed yet.</p>;
  return (
    <table>
      <Columns
        of={[
          [6.5, 'Draw'],
          [24, 'Ingredient, INCI name'],
          [10.5, 'Lot'],
          [10, '#Target'],
          [10, '#Band'],
          [10.5, '#Weighed'],
          [10, '#In vessel'],
          [10, 'Scale, way'],
          [8.5, 'Time, by'],
        ]}
      />
      {record.draws.map((draw, index) => [
        draw.phase !== record.draws[index - 1]?.phase && <PhaseRow key={draw.seqs[0]} record={record} draw={draw} />,
        <DrawRows key={draw.draw} record={record} draw={draw} />,
      ])}
    </table>
  );
}

function PhaseRow({ record, draw }: OfRecord & { readonly draw: RecordDraw }) {
  const { plan } = record;
  const phase = plan.phases.find(({ id }) => id === draw.phase);
  const bowl = sumOf(record.draws.filter((each) => each.phase === draw.phase).map((each) => each.bowl ?? ZERO));
  return (
    <tbody className="phase">
      <tr>
        <th scope="rowgroup" colSpan={9}>
          Phase {draw.phase}
          {phase && (
            <span>
              , {phase.name}, into {vesselName(plan, phase.vessel)}: planned {plannedGrams(phase.mass)} g, in the vessel{' '}
              {printMass(bowl, { decimals: finestDecimals(plan) })} g
            </span>
          )}
        </th>
      </tr>
    </tbody>
  );
}

function DrawRows({ record, draw }: OfRecord & { readonly draw: RecordDraw }) {
  const { decimals } = draw;
  const show = (of: Mass | null) => (of === null ? 'not yet' : printMass(of, { decimals }));
  const notes = notesOf(draw, record);
  return (
    <tbody>
      <tr>
        <td>{draw.draw}</td>
        <td>
          {draw.name}
          <small>{draw.inci}</small>
        </td>
        <td>{draw.lot}</td>
        <td className="number">{plannedGrams(draw.target)}</td>
        <td className="number">
          {show(draw.low)}
          <small>to {show(draw.high)}</small>
        </td>
        <td className="number main">
          {show(draw.net)}
          <small>± {printMass(draw.uncertainty, { decimals: decimals + 1, rounding: 'up' })}</small>
        </td>
        <td className="number">{show(draw.bowl)}</td>
        <td>
          {draw.scale}
          <small>{draw.way}</small>
        </td>
        <td>
          {clock(draw.at, record)}
          <small>{draw.by}</small>
        </td>
      </tr>
      {notes.length > 0 && (
        <tr className="notes">
          <td colSpan={9}>{notes.join('; ')}</td>
        </tr>
      )}
    </tbody>
  );
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

/** What each lot paid, for stock and recall. */
export function LotTable({ record }: OfRecord) {
  const { plan, lots, totals } = record;
  if (lots.length === 0) return null;
  const decimals = finestDecimals(plan);
  const names = new Map(plan.tasks.map((task) => (task.kind === 'draw' ? [task.ingredient, task.name] : ['', ''])));
  return (
    <section>
      <h2>
        Lots <small>grams</small>
      </h2>
      <table>
        <Columns
          of={[
            [17.5, 'Lot'],
            [37, 'Ingredient'],
            [12, '#Left the lot'],
            [12, '#In the batch'],
            [10, '#Waste'],
            [11.5, ''],
          ]}
        />
        {lots.map(({ lot, ingredient, taken, bowl, waste, ended }) => (
          <tbody key={`${ingredient}/${lot}`}>
            <tr>
              <td className="main">{lot}</td>
              <td>{names.get(ingredient) ?? ingredient}</td>
              <td className="number">{printMass(taken, { decimals })}</td>
              <td className="number">{printMass(bowl, { decimals })}</td>
              <td className="number">{waste === 0 ? '' : printMass(waste, { decimals })}</td>
              <td>{ended ? 'used up' : ''}</td>
            </tr>
          </tbody>
        ))}
        <tfoot>
          <tr>
            <th scope="row" colSpan={2}>
              Sum
            </th>
            <td className="number">{printMass(totals.taken, { decimals })}</td>
            <td className="number">{printMass(totals.bowl, { decimals })}</td>
            <td className="number">{printMass(totals.waste, { decimals })}</td>
            <td />
          </tr>
        </tfoot>
      </table>
    </section>
  );
}
