/** The charts of the printed record. */
import { ControlChart } from '../../charts/ControlChart.tsx';
import { FlowChart } from '../../charts/FlowChart.tsx';
import { Histogram } from '../../charts/Histogram.tsx';
import { PourChart } from '../../charts/PourChart.tsx';
import { mass } from '../../mass/mass.ts';
import { printMass } from '../../mass/text.ts';
import type { BatchRecord } from './batchRecord.ts';
import { againSentences, barNotes, barSentences } from './recordBars.ts';
import { decimalsOfScale, type RecordDraw } from './recordDraws.ts';
import { barFigures, flowOfRecord, inGrams } from './recordFigureData.ts';
import { Sentences } from './recordParts.tsx';
import { finestDecimals } from './recordWords.ts';

interface OfRecord {
  readonly record: BatchRecord;
}

/** How one draw was poured; nothing where that was not kept. */
export function PourFigure({
  draw,
  width,
  height,
}: {
  readonly draw: RecordDraw;
  readonly width: number;
  readonly height: number;
}) {
  const { trace, decimals } = draw;
  if (trace === null) return null;
  const points = trace.ms.map((at, index) => [at / 1000, inGrams(trace.net[index] ?? 0)] as const);
  return (
    <PourChart
      name={`Pour of ${draw.name}, ${draw.draw}`}
      points={points}
      low={inGrams(draw.low)}
      target={inGrams(draw.target)}
      high={inGrams(draw.high)}
      midway={trace.midway}
      show={(value) => printMass(mass(Math.round(value * 1e6)), { decimals })}
      unit="g"
      width={width}
      height={height}
    />
  );
}

/** Most pours drawn large on the first page. */
const MOST_LARGE = 3;

/** The pours that went over their band, large enough to read. */
export function OverPourFigures({ record, draws }: OfRecord & { readonly draws: readonly string[] }) {
  const drawn = record.draws.filter(({ draw, trace }) => trace !== null && draws.includes(draw)).slice(0, MOST_LARGE);
  if (drawn.length === 0) return null;
  return (
    <div className="pours">
      {drawn.map((draw) => (
        <figure key={draw.draw}>
          <figcaption>
            {draw.name} ({draw.draw}), grams against seconds
          </figcaption>
          <PourFigure draw={draw} width={168} height={86} />
        </figure>
      ))}
    </div>
  );
}

/** From the lots to the bars. */
export function FlowFigure({ record }: OfRecord) {
  if (record.lots.length === 0) return null;
  const decimals = finestDecimals(record.plan);
  return (
    <section className="whole">
      <h2>
        What went where <small>widths in proportion; what no weighing accounts for has a broken outline</small>
      </h2>
      <figure>
        <FlowChart
          {...flowOfRecord(record)}
          show={(value) => `${printMass(mass(value), { decimals })} g`}
          sourcesAre="lots"
          width={520}
        />
      </figure>
    </section>
  );
}

/** Every bar, and how they scatter. */
export function BarSection({ record }: OfRecord) {
  const { bars, plan } = record;
  const figures = barFigures(record);
  if (bars === null || !figures) return null;
  const said = barSentences(bars, plan);
  const noted = bars.bars.flatMap((bar) => {
    const notes = barNotes(bar).join('; ');
    return notes === '' ? [] : [`Bar ${bar.bar}: ${notes}.`];
  });
  const again = againSentences(bars, plan).map((say) => `${say}.`);
  return (
    <section>
      <h2>
        Bars <small>grams as weighed off</small>
      </h2>
      <Sentences of={[...said.map((say) => `${say}.`), figures.says]} />
      <div className="bars">
        <figure>
          <figcaption>
            One by one: dots in the lot, hollow where outside its band or the limits, a cross where not in the lot
          </figcaption>
          <ControlChart
            points={figures.points}
            levels={figures.levels}
            unit="g"
            places="bar"
            says={`Bars one by one. ${said.join('. ')}. ${figures.says} Every weight stands below.`}
            width={352}
            height={150}
          />
        </figure>
        <figure>
          <figcaption>Bars of the lot by weight</figcaption>
          <Histogram
            bins={figures.bins}
            levels={figures.binLevels}
            unit="g"
            counted="bars"
            says={`Bars of the lot by weight: ${figures.bins.map(({ from, to, count }) => `${count} from ${from} to below ${to} g`).join(', ')}.`}
            width={160}
            height={150}
          />
        </figure>
      </div>
      <ol className="weights">
        {bars.bars.map(({ bar, net, scale, pulled, verdict, seq }) => (
          <li key={seq} value={bar} className={pulled === null && verdict !== 'short' ? undefined : 'void'}>
            <small>{bar}</small> {printMass(net, { decimals: decimalsOfScale(plan, scale) })}
            {verdict === 'over' || verdict === 'under' ? '!' : ''}
          </li>
        ))}
      </ol>
      {noted.length + again.length > 0 && <Sentences of={[...noted, ...again]} />}
    </section>
  );
}
