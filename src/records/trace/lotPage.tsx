/** The recall sheet of a lot: to print, and to work from. */
import { paperPage } from '../paperPage.tsx';
import { Entry, Table } from '../record/recordParts.tsx';
import { lotSheet, type SheetGroup } from './lotSheet.ts';
import type { LotReport } from './report.ts';
import { Foot, Head, Papers, To, Told, TRACE_STYLE, type TraceLinks } from './traceParts.tsx';
import { papersInWords } from './traceWords.ts';

/** The recall sheet of a lot. @param block the command that blocks it, as it is typed here */
export function lotPage(report: LotReport, block: string, links: TraceLinks): string {
  const sheet = lotSheet(report, block);
  const { lot, groups, carriers, others } = sheet;
  const body = (
    <>
      <Head kicker="Trace and recall sheet" title={lot.name} what="Lot" id={lot.lot} links={links} />
      <dl className="summary">
        <Papers papers={lot.papers} />
        <Entry name="Drawn for batches">{sheet.drawn}</Entry>
        <Entry name="Left by the book">{sheet.left ?? 'not known'}</Entry>
        <Entry name="In, or may be in">{sheet.present}</Entry>
      </dl>
      <section className="alert">
        <h2>If it must not be used</h2>
        <Numbered of={sheet.todo} />
      </section>
      {groups.length === 0 && <p>No batch has drawn from it.</p>}
      {groups.map((group) => (
        <Batches key={group.heading} group={group} links={links} />
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
            rows={carriers.map(({ name, ingredient, lot: code, madeIn, share }) => [
              name,
              <To key="lot" href={links.lot?.(ingredient, code)} text={code} />,
              <To key="batch" href={links.batch?.(madeIn)} text={madeIn} />,
              share,
            ])}
          />
        </section>
      )}
      <Told heading="Can not be followed" of={sheet.unlinked} />
      {others.length > 0 && (
        <section>
          <h2>
            {sheet.othersHeading} <small>what all of them share may be the cause as well</small>
          </h2>
          <Table
            columns={[
              [32, 'Ingredient'],
              [17, 'Lot'],
              [11, '#Batches'],
              [40, 'Papers'],
            ]}
            rows={others.map(({ name, ingredient, lot: code, count, papers }) => [
              name,
              <To key="lot" href={links.lot?.(ingredient, code)} text={code} />,
              count === '' ? '1' : count,
              papersInWords(papers) + (papers.blocked === null ? '' : ' BLOCKED'),
            ])}
          />
        </section>
      )}
      <Foot asOf={links.asOf} />
    </>
  );
  const foot = `Recall sheet of lot ${lot.lot}, as known on ${links.asOf}; ${lot.name}`;
  return paperPage({ title: `Trace of lot ${lot.lot}`, foot, body, style: TRACE_STYLE });
}

function Batches({ group, links }: { readonly group: SheetGroup; readonly links: TraceLinks }) {
  return (
    <section>
      <h2>
        {group.heading} <small>{group.count}</small>
      </h2>
      <Table
        columns={[
          [17, group.column],
          [24, 'Formula'],
          [13, '#Of the lot'],
          [13, 'Bars'],
          [25, 'State, remarks'],
          [8, 'Set aside'],
        ]}
        rows={group.batches.map(({ batch, name, version, amount, bars, leftOver, state, remarks }) => [
          <To key="batch" href={links.batch?.(batch)} text={batch} />,
          `${name}, version ${version}`,
          amount,
          <span key="bars">
            {bars} {leftOver !== '' && <small>{leftOver}</small>}
          </span>,
          [state, ...remarks].join('; '),
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
