/** All lots that a batch came from, as a page to print. */
import { cleanAll } from '../cleanAll.ts';
import { paperPage } from '../paperPage.tsx';
import { Entry, Table } from '../record/recordParts.tsx';
import type { BatchReport } from './report.ts';
import { Foot, Head, To, Told, TRACE_STYLE, type TraceLinks } from './traceParts.tsx';
import { mixtureInWords } from './traceText.ts';
import {
  amountInWords,
  barsInWords,
  HEADINGS,
  leftOverInWords,
  papersInWords,
  remarks,
  stateInWords,
} from './traceWords.ts';
import { FATES } from './uses.ts';

/** All lots that a batch came from. */
export function batchPage(report: BatchReport, links: TraceLinks): string {
  const { batch, lots, made, unlinked } = cleanAll(report);
  const bars = barsInWords(batch);
  const left = leftOverInWords(batch);
  const body = (
    <>
      <Head kicker="Lots of a batch" title={batch.name} what="Batch" id={batch.batch} links={links} />
      <dl className="summary">
        <Entry name="Formula">
          {batch.formula}, version {batch.version}
        </Entry>
        <Entry name="State">{stateInWords(batch)}</Entry>
        {bars !== '' && (
          <Entry name="Bars">
            {bars} {left !== '' && <small>{left}</small>}
          </Entry>
        )}
        {links.batch?.(batch.batch) !== undefined && (
          <Entry name="Record">
            <To href={links.batch(batch.batch)} text="batch record" />
          </Entry>
        )}
      </dl>
      <Told heading="Noted afterwards" of={batch.corrections} />
      {FATES.map((fate) => {
        const mine = lots.filter((lot) => lot.fate === fate);
        if (mine.length === 0) return null;
        return (
          <section key={fate}>
            <h2>
              {HEADINGS[fate].lots} <small>{mine.length === 1 ? '1 lot' : `${mine.length} lots`}</small>
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
      <Told heading="Made of it" of={made.map(({ name, lot }) => `${name}, lot ${lot}`)} />
      <Told heading="Can not be followed" of={unlinked.map(mixtureInWords)} />
      <Foot asOf={links.asOf} />
    </>
  );
  const foot = `Lots of batch ${batch.batch}, as known on ${links.asOf}; ${batch.name}`;
  return paperPage({ title: `Lots of batch ${batch.batch}`, foot, body, style: TRACE_STYLE });
}
