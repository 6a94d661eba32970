/** The record as one page to print and to sign: no script, nothing from the network, readable in black and white. */
import { createHash } from 'node:crypto';
import { renderToStaticMarkup } from 'react-dom/server';
import { lotOf } from '../../facts/bars.ts';
import type { LabelResult } from '../../label/labelSheet.ts';
import { type Mass, sumOf } from '../../mass/mass.ts';
import { printMass } from '../../mass/text.ts';
import { cleanAll } from '../cleanAll.ts';
import type { BatchRecord } from './batchRecord.ts';
import { budgetSentences } from './budgetSentences.ts';
import { type BarsRecord, barsUntil } from './recordBars.ts';
import { benchSentences } from './recordBenches.ts';
import { decimalsOfScale } from './recordDraws.ts';
import { BarSection, FlowFigure, OverPourFigures } from './recordFigures.tsx';
import { ContentsSection, CostLine, LabelSection } from './recordLabel.tsx';
import { Entry, Sentences } from './recordParts.tsx';
import { checkInWords } from './recordScales.ts';
import { recordStyle } from './recordStyle.ts';
import { LotTable, NotInBatchTable, StepTable, SumTable } from './recordTables.tsx';
import { toldAsTooMuch, tooMuchIn } from './recordTooMuch.ts';
import { WeighingTable } from './recordWeighings.tsx';
import { clock, finestDecimals, plainGrams, plannedGrams, spelled } from './recordWords.ts';

/** What the page tells beside what is in the log. */
export interface PageExtras {
  /** What goes on the label; absent where it is not to be told. */
  readonly label?: LabelResult | undefined;
  /** The judgement on the net contents of the bars, sentences; those that begin with spaces belong to the one before. */
  readonly contents?: readonly string[] | undefined;
  /** Pages beside it, where it is one of many. They are not printed. */
  readonly nav?: readonly { readonly href: string; readonly text: string }[] | undefined;
}

/** The record as a whole HTML document. */
export function recordHtml(record: BatchRecord, extras: PageExtras = {}): string {
  const page = <Page record={cleanAll(record)} {...cleanAll(extras)} />;
  return `<!doctype html>\n${renderToStaticMarkup(page)}\n`;
}

function Page({ record, label, contents, nav }: { readonly record: BatchRecord } & PageExtras) {
  const { plan } = record;
  const style = recordStyle(`Batch ${record.batch}, as known on ${spelled(record.lastAt)}; ${plan.formula.name}`);
  const styleHash = createHash('sha256').update(style).digest('base64');
  const policy = `default-src 'none'; style-src 'sha256-${styleHash}'; base-uri 'none'; form-action 'none'`;
  return (
    <html lang="en">
      <head>
        <meta charSet="utf-8" />
        <meta httpEquiv="Content-Security-Policy" content={policy} />
        <meta name="viewport" content="width=device-width" />
        <meta name="referrer" content="no-referrer" />
        <title>{`Batch record ${record.batch}`}</title>
        <style>{style}</style>
      </head>
      <body>
        {nav && (
          <nav aria-label="Pages">
            {nav.map(({ href, text }) => (
              <a key={href} href={href}>
                {text}
              </a>
            ))}
          </nav>
        )}
        <main>
          <Head record={record} />
          <Deviations record={record} />
          <FlowFigure record={record} />
          <h2>
            Weighings{' '}
            <small>
              grams; ± is the expanded uncertainty, about 95 % (k = 2 where not said); stuck: to vessels emptied later.
              Pour: weight against time; the grey doorway is the band, drawn taller than what lies below it
            </small>
          </h2>
          <WeighingTable record={record} />
          <NotInBatchTable record={record} />
          <BarSection record={record} />
          {contents && <ContentsSection lines={contents} />}
          <StepTable record={record} />
          <SumTable record={record} />
          <LotTable record={record} />
          <CostLine record={record} />
          <Benches record={record} />
          <Scales record={record} />
          <Measured record={record} />
          <Corrections record={record} />
          {label && <LabelSection label={label} />}
          <Foot record={record} />
        </main>
      </body>
    </html>
  );
}

function Head({ record }: { readonly record: BatchRecord }) {
  const { plan, totals } = record;
  const decimals = finestDecimals(plan);
  const until = barsUntil(record);
  return (
    <>
      <header>
        <div>
          <p className="kicker">Batch record</p>
          <h1>{plan.formula.name}</h1>
          <p>
            Formula {plan.formula.id}, version {plan.formula.version}
          </p>
        </div>
        <div className="id">
          <p className="kicker">Batch</p>
          <strong>{record.batch}</strong>
          <p className="status">{record.status}</p>
          <p className="asof">as known on {spelled(record.lastAt)}</p>
        </div>
      </header>
      <dl className="summary">
        <Entry name="Started">{spelled(record.started)}</Entry>
        <Entry name={record.status === 'abandoned' ? 'Abandoned' : 'Finished'}>
          {record.ended === null ? 'still open' : spelled(record.ended)}
          {until && <small>{record.status === 'finished' ? `all ingredients weighed; ${until}` : until}</small>}
        </Entry>
        <Entry name="Done by">{record.operators.join(', ')}</Entry>
        <Entry name="Planned">
          {plannedGrams(plan.mass)} g{' '}
          {plan.bars !== null && plan.bar !== null && (
            <small>
              for {plan.bars} bars of {plainGrams(plan.bar)} g, {plan.lossPpm / 10_000} % loss
            </small>
          )}
        </Entry>
        <Entry name="Weighed">{printMass(totals.net, { decimals })} g</Entry>
        <Entry name="In the batch">
          {printMass(totals.bowl, { decimals })} g
          {totals.stuck > 0 && <small> {printMass(totals.stuck, { decimals })} g of it stuck to emptied vessels</small>}
        </Entry>
        <Entry name="Against the plan for these draws">
          {printMass(totals.difference, { decimals, plus: true })} g
        </Entry>
        {record.bars !== null && <Yield bars={record.bars} net={totals.net} decimals={decimals} />}
        <Entry name="Left the lots">
          {printMass(totals.taken, { decimals })} g <small>{printMass(totals.waste, { decimals })} g of it waste</small>
        </Entry>
      </dl>
    </>
  );
}

/** How much of what was weighed became bars of the lot. */
function Yield({ bars, net, decimals }: { readonly bars: BarsRecord; readonly net: Mass; readonly decimals: number }) {
  const lot = lotOf(bars);
  const made = sumOf(lot.map((bar) => bar.net));
  return (
    <Entry name="Bars in the lot">
      {lot.length}{' '}
      <small>
        {printMass(made, { decimals })} g{net > 0 && `, ${((made / net) * 100).toFixed(1)} % of what was weighed`}
      </small>
    </Entry>
  );
}

/** What a reader who sees nothing else must learn: what was too much, and what else went otherwise. */
function Deviations({ record }: { readonly record: BatchRecord }) {
  const over = tooMuchIn(record);
  const told = toldAsTooMuch(record);
  const others = record.deviations.filter((say) => !told.has(say));
  return (
    <section className="alert">
      <h2>Too much, and what was done about it</h2>
      {over.length === 0 ? <p>Nothing was over its band.</p> : <Sentences of={over.map(({ say }) => say)} />}
      <OverPourFigures record={record} draws={over.map(({ draw }) => draw)} />
      <h2>{over.length === 0 ? 'Otherwise than planned' : 'What else went otherwise than planned'}</h2>
      {others.length === 0 ? <p>Nothing.</p> : <Sentences of={others} />}
    </section>
  );
}

function Scales({ record }: { readonly record: BatchRecord }) {
  const { scaleLosses, zeroShifts, resumed, draws, givenUp, plan } = record;
  const used = new Set([...draws, ...givenUp].map(({ scale }) => scale));
  const scales = record.scales
    .filter(({ id }) => used.has(id))
    .map(({ id, capacity, d, repeatability, keyed, checks }) => {
      const spread = repeatability === null ? '' : `, repeatability ${plainGrams(repeatability)} g`;
      const way = keyed ? ', read by eye and keyed in' : '';
      return `${id}: up to ${plainGrams(capacity)} g, interval ${plainGrams(d)} g${spread}${way}; ${checks.map(checkInWords).join('; later ') || 'not checked'}.`;
    });
  const losses = scaleLosses.map(({ scale, draw, say, lost, back }) => {
    const until = back === null ? 'not noted when it was back' : `back ${clock(back, record)}`;
    return `${scale}${draw === null ? '' : ` during ${draw}`}: ${say.replace(/\.$/, '')}; lost ${clock(lost, record)}, ${until}.`;
  });
  const shifts = zeroShifts.map(({ scale, shift, draws: touched, at }) => {
    const much = printMass(shift, { decimals: decimalsOfScale(plan, scale), plus: true });
    return `${scale}: zero moved by ${much} g under ${touched.join(' ')}, seen ${clock(at, record)}.`;
  });
  const stops = resumed.map(
    ({ at, by }) => `The program was stopped, and taken up again ${clock(at, record)} by ${by}.`,
  );
  const all = [...scales, ...budgetSentences(record), ...shifts, ...losses, ...stops];
  if (all.length === 0) return null;
  return (
    <section>
      <h2>Scales, standard uncertainties of the weighings (grams, by cause), interruptions</h2>
      <Sentences of={all} />
    </section>
  );
}

function Benches({ record }: { readonly record: BatchRecord }) {
  const benches = benchSentences(record);
  if (benches.length === 0) return null;
  return (
    <section>
      <h2>Benches</h2>
      <Sentences of={benches} />
    </section>
  );
}

function Measured({ record }: { readonly record: BatchRecord }) {
  if (record.measured.length === 0) return null;
  return (
    <section>
      <h2>Measured</h2>
      <Sentences of={record.measured.map(({ say, at, by }) => `${say}. ${by}, ${spelled(at)}.`)} />
    </section>
  );
}

function Corrections({ record }: { readonly record: BatchRecord }) {
  const { corrections } = record;
  if (corrections.length === 0) return null;
  return (
    <section>
      <h2>Corrections made afterwards</h2>
      <Sentences
        of={corrections.map(
          ({ seq, corrects, about, note, reason, at, by }) =>
            `Fact ${seq} corrects fact ${corrects} (${about}): ${note} Reason: ${reason}. ${by}, ${spelled(at)}.`,
        )}
      />
    </section>
  );
}

function Foot({ record }: { readonly record: BatchRecord }) {
  const { seal } = record;
  return (
    <footer>
      <div className="signatures">
        <p>Made by: name, date, signature</p>
        <p>Checked by: name, date, signature</p>
      </div>
      <div className="seal">
        <p>
          Last fact of this batch: number {seal.seq}, of {spelled(record.lastAt)}, hash <code>{seal.hash}</code>. What
          was noted later is not on this paper. As long as the log gives this hash for this fact, nothing before it was
          changed or removed.
        </p>
        <p>
          The scales and the program are not approved for legal trade: this record documents how the batch was made and
          is no proof of net contents. Follow the suppliers' safety data sheets and the rules of your place.
        </p>
      </div>
    </footer>
  );
}
