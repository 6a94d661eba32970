/** The table of all accepted draws, phase by phase, in the order of weighing. Its head stands on every page that it reaches. */
import { type Mass, sumOf, ZERO } from '../../mass/mass.ts';
import { printMass } from '../../mass/text.ts';
import type { BatchRecord } from './batchRecord.ts';
import type { RecordDraw } from './recordDraws.ts';
import { PourFigure } from './recordFigures.tsx';
import { Columns } from './recordParts.tsx';
import { notesOf, vesselName } from './recordSentences.ts';
import { clock, finestDecimals, plannedGrams } from './recordWords.ts';

interface OfRecord {
  readonly record: BatchRecord;
}

const COLUMNS = [
  [5.5, 'Draw'],
  [19, 'Ingredient, INCI name'],
  [9.5, 'Lot'],
  [12.5, '#Target, band'],
  [10.5, '#Weighed'],
  [10, '#In vessel'],
  [15.5, 'Pour'],
  [7.5, 'Scale, way'],
  [10, 'Time, by'],
] as const;

export function WeighingTable({ record }: OfRecord) {
  if (record.draws.length === 0) return <p>Nothing has been weighed yet.</p>;
  return (
    <table className="weighings">
      <Columns of={COLUMNS} />
      {record.draws.map((draw, index) => [
        draw.phase !== record.draws[index - 1]?.phase && (
          <PhaseRow key={`phase of ${draw.draw}`} record={record} draw={draw} />
        ),
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
        <th scope="rowgroup" colSpan={COLUMNS.length}>
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
  // Decimal points stand under each other: a coarser scale leaves the place of its missing digits empty.
  const number = `number less${Math.max(0, finestDecimals(record.plan) - decimals)}`;
  // What stuck on the way stands beside what came into the vessel.
  const notes = notesOf({ ...draw, stuck: ZERO }, record);
  if (draw.trace?.midway) notes.push('its trace begins midway (hollow dot): what came before was not seen');
  return (
    <tbody>
      <tr>
        <td>{draw.draw}</td>
        <td>
          {draw.name}
          <small>{draw.inci}</small>
        </td>
        <td>{draw.lot}</td>
        <td className="number">
          {plannedGrams(draw.target)}
          <small>
            {show(draw.low)} to {show(draw.high)}
          </small>
        </td>
        <td className={`${number} main`}>
          {show(draw.net)}
          <small>± {printMass(draw.uncertainty, { decimals: decimals + 1, rounding: 'up' })}</small>
        </td>
        <td className={number}>
          {show(draw.bowl)}
          {draw.stuck > 0 && <small>{printMass(draw.stuck, { decimals: decimals + 1 })} stuck</small>}
        </td>
        <td className="pour">
          {draw.trace === null ? (
            <small>{draw.how === 'keyed' ? 'keyed, no trace' : 'no trace kept'}</small>
          ) : (
            <PourFigure draw={draw} width={84} height={27} />
          )}
        </td>
        <td>
          {ownName(draw, record)}
          <small>{draw.way}</small>
        </td>
        <td>
          {clock(draw.at, record)}
          <small>{draw.by}</small>
        </td>
      </tr>
      {notes.length > 0 && (
        <tr className="notes">
          <td colSpan={COLUMNS.length}>{notes.join('; ')}</td>
        </tr>
      )}
    </tbody>
  );
}

/** A scale of another bench by its name there: which bench that is stands below. */
function ownName({ scale }: RecordDraw, { plan }: BatchRecord): string {
  const bench = Object.hasOwn(plan.scales, scale) ? plan.scales[scale]?.bench : undefined;
  return bench !== undefined && scale.startsWith(`${bench}/`) ? scale.slice(bench.length + 1) : scale;
}
