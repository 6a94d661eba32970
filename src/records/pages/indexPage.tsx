/** The index of all pages: batches and lots to search. It is of use without its script, which only hides rows. */
import { cleanAll } from '../cleanAll.ts';
import { type Markup, paperPage } from '../paperPage.tsx';
import { Table } from '../record/recordParts.tsx';

export interface IndexedBatch {
  readonly batch: string;
  readonly href: string;
  /** The page of its lots. */
  readonly lotsHref: string;
  readonly name: string;
  readonly version: string;
  readonly state: string;
  readonly bars: string;
  /** Codes of the lots in it. */
  readonly lots: readonly string[];
}

export interface IndexedLot {
  readonly name: string;
  readonly lot: string;
  readonly href: string;
  readonly papers: string;
  readonly batches: number;
  readonly blocked: boolean;
}

const STYLE = `
@media screen {
  html { font-size: 12pt; }
  body { max-width: 1100px; padding: 0 4mm; }
  th, td { vertical-align: middle; }
  thead th, .kicker { font-size: 10pt; }
  .codes { font-size: 10pt; }
  td a { display: inline-block; padding: 2mm 2mm 2mm 0; }
  nav a { display: inline-block; padding: 3mm 6mm 3mm 0; }
}
nav { margin: 2mm 0; }
.search { margin: 4mm 0 2mm; }
.search label { display: block; font-weight: bold; }
.search input { font: inherit; font-size: 14pt; width: 100%; padding: 2mm; border: 1.5pt solid #000; border-radius: 0; }
@media print { nav, .search { display: none; } }
`;

/** Hides the rows that do not have all the words. Its hash is in the page's policy: no other script can run. */
const SCRIPT = `
const box = document.querySelector('.search');
const input = box.querySelector('input');
const said = box.querySelector('output');
const rows = [...document.querySelectorAll('tbody')].map((row) => [row, row.textContent.toLowerCase()]);
const look = () => {
  const words = input.value.toLowerCase().split(/\\s+/).filter(Boolean);
  let found = 0;
  for (const [row, text] of rows) {
    row.hidden = !words.every((word) => text.includes(word));
    if (!row.hidden) found += 1;
  }
  said.textContent = words.length === 0 ? '' : found + ' of ' + rows.length;
};
box.hidden = false;
input.addEventListener('input', look);
look();
`;

/** @param batches the newest first @param asOf the day and time that all pages tell of */
export function batchIndex(workshop: string, batches: readonly IndexedBatch[], asOf: string): string {
  return indexPage(
    workshop,
    asOf,
    'Batches',
    'a batch, a formula, a lot, a day',
    [
      [14, 'Batch'],
      [27, 'Formula'],
      [21, 'State'],
      [10, 'Bars'],
      [28, 'Lots'],
    ],
    cleanAll(batches).map(({ batch, href, lotsHref, name, version, state, bars, lots }) => [
      <a key="record" href={href}>
        {batch}
      </a>,
      `${name}, version ${version}`,
      state,
      bars,
      <a key="lots" href={lotsHref} className="codes">
        {lots.join(' ')}
      </a>,
    ]),
  );
}

export function lotIndex(workshop: string, lots: readonly IndexedLot[], asOf: string): string {
  return indexPage(
    workshop,
    asOf,
    'Lots',
    "an ingredient, a lot, a supplier's lot",
    [
      [32, 'Ingredient'],
      [18, 'Lot'],
      [38, 'Papers'],
      [12, '#In batches'],
    ],
    cleanAll(lots).map(({ name, lot, href, papers, batches, blocked }) => [
      name,
      <a key="lot" href={href}>
        {lot}
      </a>,
      blocked ? <strong key="papers">BLOCKED {papers}</strong> : papers,
      batches,
    ]),
  );
}

function indexPage(
  workshop: string,
  asOf: string,
  title: string,
  example: string,
  columns: readonly (readonly [number, string])[],
  rows: readonly (readonly Markup[])[],
): string {
  const [name] = cleanAll([workshop]);
  const body = (
    <>
      <header>
        <div>
          <p className="kicker">{name}</p>
          <h1>{title}</h1>
        </div>
        <div className="id">
          <strong>{rows.length}</strong>
          <p className="asof">as known on {asOf}</p>
        </div>
      </header>
      <nav aria-label="Pages">
        <a href="index.html">Batches</a> <a href="lots.html">Lots</a> <a href="insight.html">Insight</a>
      </nav>
      <div className="search" hidden>
        <label htmlFor="search">Search: {example}</label>
        <input id="search" type="search" autoComplete="off" />
        <output htmlFor="search" aria-live="polite" />
      </div>
      <Table columns={columns} rows={rows} />
      {rows.length === 0 && <p>None yet.</p>}
    </>
  );
  return paperPage({ title: `${title} of ${name}`, foot: `${title} of ${name}`, body, style: STYLE, script: SCRIPT });
}
