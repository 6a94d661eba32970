/** The recall sheet of a lot: to print, and to work from. */
import { cleanAll } from '../cleanAll.ts';
import { paperPage } from '../paperPage.tsx';
import { Entry } from '../recordParts.tsx';
import type { HeldIn } from './flow.ts';
import { isPresent, type LotReport } from './report.ts';
import { Foot, Head, Papers, Table, To, Told, TRACE_STYLE, type TraceLinks } from './traceParts.tsx';
import {
  amountInWords,
  barsInWords,
  countInWords,
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
        <Entry name="In, or may be in">{countInWords(present)}</Entry>
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
      <Told heading="Can not be followed" of={unlinked.map((each) => unlinkedInWords(each, lot.name))} />
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
  return paperPage({ title: `Trace of lot ${lot.lot}`, foot: `Lot ${lot.lot}, ${lot.name}`, body, style: TRACE_STYLE });
}

function Batches({ fate, batches, links }: { fate: Fate; batches: readonly HeldIn[]; links: TraceLinks }) {
  if (batches.length === 0) return null;
  return (
    <section>
      <h2>
        {HEADINGS[fate].batches} <small>{countInWords(batches)}</small>
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

function Numbered({ of }: { readonly of: readonly string[] }) {
  return (
    <ol>
      {of.map((each) => (
        <li key={each}>{each}</li>
      ))}
    </ol>
  );
}
