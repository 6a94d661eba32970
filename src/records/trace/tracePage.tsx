/** A trace as a page to print and to work from: the recall sheet of a lot, or the lots of a batch. */
import { cleanAll } from '../cleanAll.ts';
import { type Markup, paperPage } from '../paperPage.tsx';
import type { HeldIn } from './flow.ts';
import { type BatchReport, isPresent, type LotPapers, type LotReport } from './report.ts';
import { mixtureInWords } from './traceText.ts';
import {
  amountInWords,
  barsInWords,
  grams,
  HEADINGS,
  heldIn,
  papersInWords,
  remarks,
  stateInWords,
  unlinkedInWords,
  whatToDo,
} from './traceWords.ts';
import { FATES, type Fate } from './uses.ts';

const STYLE = `
ol { margin: 0; padding-left: 6mm; }
ol li { padding-left: 1mm; }
.tick { display: inline-block; width: 4mm; height: 4mm; border: .75pt solid #000; }
.blocked { font-weight: bold; }
`;

/** Links to other pages of the same folder; undefined where there is none. */
export interface TraceLinks {
  readonly batch?: (id: string) => string | undefined;
  readonly lot?: (ingredient: string, lot: string) => string | undefined;
  /** A way back. */
  readonly home?: string;
  /** The day and time that the page tells of; else it is told to be of the log as it was. */
  readonly asOf?: string;
}

/** The recall sheet of a lot. @param block the command that blocks it, as it is typed here */
export function lotPage(report: LotReport, block: string, links: TraceLinks = {}): string {
  const clean = cleanAll(report);
  const { lot, drawn, batches, carriers, others, unlinked } = clean;
  const present = batches.filter(isPresent);
  const { left } = lot.papers;
  const body = (
    <>
      <Head kicker="Trace and recall sheet" title={lot.name} what="Lot" id={lot.lot} links={links} />
      <dl className="summary">
        <Papers papers={lot.papers} />
        <Entry name="Drawn for batches">{grams(drawn)}</Entry>
        <Entry name="Left by the book">{left === null ? 'not known' : grams(left)}</Entry>
        <Entry name="In, or may be in">{count(present.length, 'batch', 'batches')}</Entry>
      </dl>
      <section className="alert">
        <h2>If it must not be used</h2>
        <Numbered of={whatToDo(clean, block)} />
      </section>
      {batches.length === 0 && <p>No batch has drawn from it.</p>}
      {FATES.map((fate) => (
        <Batches key={fate} fate={fate} batches={heldIn(batches, fate)} links={links} />
      ))}
      {carriers.length > 0 && (
        <section>
          <h2>Stocks that hold it</h2>
          <Table
            columns={[
              [34, 'Stock'],
              [22, 'Lot'],
              [24, 'Made in batch'],
              [20, '#How much it is of the stock'],
            ]}
            rows={carriers.map(({ name, ingredient, lot: code, madeIn, share, fate }) => [
              name,
              <To key="lot" href={links.lot?.(ingredient, code)} text={code} />,
              <To key="batch" href={links.batch?.(madeIn)} text={madeIn} />,
              `${fate === 'may' ? 'up to ' : ''}${Number((share * 100).toPrecision(3))} %`,
            ])}
          />
        </section>
      )}
      <Sentences heading="Can not be followed" of={unlinked.map((each) => unlinkedInWords(each, lot.name))} />
      {others.length > 0 && (
        <section>
          <h2>
            What else is in {present.length === 1 ? 'that batch' : `these ${present.length} batches`}{' '}
            <small>what all of them share may be the cause as well</small>
          </h2>
          <Table
            columns={[
              [32, 'Ingredient'],
              [17, 'Lot'],
              [11, '#Batches'],
              [40, 'Papers'],
            ]}
            rows={others.map(({ name, ingredient, lot: code, batches: many, papers }) => [
              name,
              <To key="lot" href={links.lot?.(ingredient, code)} text={code} />,
              many === present.length && many > 1 ? `all ${many}` : many,
              papersInWords(papers) + (papers.blocked === null ? '' : ' BLOCKED'),
            ])}
          />
        </section>
      )}
      <Foot asOf={links.asOf} />
    </>
  );
  return paperPage({ title: `Trace of lot ${lot.lot}`, foot: `Lot ${lot.lot}, ${lot.name}`, body, style: STYLE });
}

/** All lots that a batch came from. */
export function batchPage(report: BatchReport, links: TraceLinks = {}): string {
  const { batch, lots, made, unlinked } = cleanAll(report);
  const bars = barsInWords(batch);
  const body = (
    <>
      <Head kicker="Lots of a batch" title={batch.name} what="Batch" id={batch.batch} links={links} />
      <dl className="summary">
        <Entry name="Formula">
          {batch.formula}, version {batch.version}
        </Entry>
        <Entry name="State">{stateInWords(batch)}</Entry>
        {bars !== '' && <Entry name="Bars">{bars}</Entry>}
        {links.batch?.(batch.batch) !== undefined && (
          <Entry name="Record">
            <To href={links.batch(batch.batch)} text="batch record" />
          </Entry>
        )}
      </dl>
      <Sentences heading="Noted afterwards" of={batch.corrections} />
      {FATES.map((fate) => {
        const mine = lots.filter((lot) => lot.fate === fate);
        if (mine.length === 0) return null;
        return (
          <section key={fate}>
            <h2>
              {HEADINGS[fate].lots} <small>{count(mine.length, 'lot', 'lots')}</small>
            </h2>
            <Table
              columns={[
                [27, 'Ingredient'],
                [17, 'Lot'],
                [14, '#Amount'],
                [42, 'Papers, remarks'],
              ]}
              rows={mine.map((held) => [
                held.name,
                <To key="lot" href={links.lot?.(held.ingredient, held.lot)} text={held.lot} />,
                amountInWords(held),
                [
                  papersInWords(held.papers),
                  held.madeIn === null ? '' : `made in batch ${held.madeIn}`,
                  held.papers.blocked === null ? '' : `BLOCKED: ${held.papers.blocked}`,
                  ...remarks(held),
                ]
                  .filter((part) => part !== '')
                  .join('; '),
              ])}
            />
          </section>
        );
      })}
      <Sentences heading="Made of it" of={made.map(({ name, lot }) => `${name}, lot ${lot}`)} />
      <Sentences heading="Can not be followed" of={unlinked.map(mixtureInWords)} />
      <Foot asOf={links.asOf} />
    </>
  );
  const foot = `Lots of batch ${batch.batch}, ${batch.name}`;
  return paperPage({ title: `Lots of batch ${batch.batch}`, foot, body, style: STYLE });
}

function Batches({ fate, batches, links }: { fate: Fate; batches: readonly HeldIn[]; links: TraceLinks }) {
  if (batches.length === 0) return null;
  return (
    <section>
      <h2>
        {HEADINGS[fate].batches} <small>{count(batches.length, 'batch', 'batches')}</small>
      </h2>
      <Table
        columns={[
          [17, 'Batch'],
          [24, 'Formula'],
          [13, '#Of the lot'],
          [13, 'Bars'],
          [25, 'State, remarks'],
          [8, 'Set aside'],
        ]}
        rows={batches.map((held) => [
          <To key="batch" href={links.batch?.(held.batch.batch)} text={held.batch.batch} />,
          `${held.batch.name}, version ${held.batch.version}`,
          amountInWords(held),
          barsInWords(held.batch),
          [stateInWords(held.batch), ...remarks(held), ...held.batch.corrections.map((each) => `noted: ${each}`)].join(
            '; ',
          ),
          <span key="tick" className="tick" />,
        ])}
      />
    </section>
  );
}

function Head({
  kicker,
  title,
  what,
  id,
  links,
}: Record<'kicker' | 'title' | 'what' | 'id', string> & { links: TraceLinks }) {
  return (
    <header>
      <div>
        <p className="kicker">{kicker}</p>
        <h1>{title}</h1>
        {links.home !== undefined && (
          <p>
            <a href={links.home}>All batches</a>
          </p>
        )}
      </div>
      <div className="id">
        <p className="kicker">{what}</p>
        <strong>{id}</strong>
      </div>
    </header>
  );
}

function Papers({ papers }: { readonly papers: LotPapers }) {
  const { supplierLot, certificate, expires, blocked } = papers;
  return (
    <>
      <Entry name="Supplier's lot">{supplierLot ?? 'the same, or not known'}</Entry>
      <Entry name="Certificate">{certificate ?? 'none entered'}</Entry>
      <Entry name="Good until">{expires ?? 'no last day entered'}</Entry>
      <Entry name="Blocked">{blocked ?? 'no'}</Entry>
    </>
  );
}

function Entry({ name, children }: { readonly name: string; readonly children: Markup }) {
  return (
    <div>
      <dt>{name}</dt>
      <dd>{children}</dd>
    </div>
  );
}

function To({ href, text }: { readonly href: string | undefined; readonly text: string }) {
  return href === undefined ? text : <a href={href}>{text}</a>;
}

/** Share of the width for each column, in percent, with its heading; one that begins with `#` is a number's. */
function Table({
  columns,
  rows,
}: {
  readonly columns: readonly (readonly [number, string])[];
  readonly rows: readonly (readonly Markup[])[];
}) {
  return (
    <table>
      <colgroup>
        {columns.map(([share, name]) => (
          <col key={name} width={`${share}%`} />
        ))}
      </colgroup>
      <thead>
        <tr>
          {columns.map(([, name]) => (
            <th key={name} scope="col" className={name.startsWith('#') ? 'number' : undefined}>
              {name.replace('#', '')}
            </th>
          ))}
        </tr>
      </thead>
      {rows.map((cells, row) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: rendered once, never reordered
        <tbody key={row}>
          <tr>
            {cells.map((cell, at) => (
              <td key={columns[at]?.[1]} className={columns[at]?.[1].startsWith('#') ? 'number' : undefined}>
                {cell}
              </td>
            ))}
          </tr>
        </tbody>
      ))}
    </table>
  );
}

function Numbered({ of }: { readonly of: readonly string[] }) {
  return (
    <ol>
      {of.map((each) => (
        <li key={each}>{each}</li>
      ))}
    </ol>
  );
}

function Sentences({ heading, of }: { readonly heading: string; readonly of: readonly string[] }) {
  if (of.length === 0) return null;
  return (
    <section>
      <h2>{heading}</h2>
      <ul>
        {of.map((each, at) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: rendered once, never reordered
          <li key={at}>{each}</li>
        ))}
      </ul>
    </section>
  );
}

function count(of: number, one: string, many: string): string {
  return of === 1 ? `1 ${one}` : `${of} ${many}`;
}

function Foot({ asOf }: { readonly asOf: string | undefined }) {
  return (
    <footer>
      <div className="signatures">
        <p>Done by: name, date, signature</p>
        <p>Checked by: name, date, signature</p>
      </div>
      <div className="seal">
        <p>
          From the batch log{asOf === undefined ? ' as it was when this page was made' : ` of ${asOf}`}. Amounts that
          came through a stock are worked out as if it was evenly mixed. The program does not know what was sold to
          whom.
        </p>
      </div>
    </footer>
  );
}
