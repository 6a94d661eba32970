/** How the printed record looks: black on white, for A4 and Letter alike. */

/** A text as a CSS string, whatever is in it. */
function cssString(text: string): string {
  const safe = text.replace(/[^ A-Za-z0-9.-]/gu, (each) => `\\${(each.codePointAt(0) ?? 0).toString(16)} `);
  return `"${safe}"`;
}

/** What fits beside the number of the page. */
const MOST_FOOT = 110;

/** @param foot stands at the foot of every printed page, beside its number; cut where it is too long */
export function recordStyle(foot: string): string {
  const fits = foot.length <= MOST_FOOT ? foot : `${foot.slice(0, MOST_FOOT - 1).trimEnd()}\u2026`;
  return `
@page {
  margin: 14mm 13mm 17mm;
  @bottom-left { content: ${cssString(fits)}; font: 8pt sans-serif; color: #333; }
  @bottom-right { content: "page " counter(page) " of " counter(pages); font: 8pt sans-serif; color: #333; }
}
* { box-sizing: border-box; }
html { color: #000; background: #fff; font: 9pt/1.3 "Liberation Sans", Arial, Helvetica, sans-serif; }
body { max-width: 184mm; margin: 8mm auto; padding: 0 2mm; overflow-wrap: anywhere; }
@media print { body { margin: 0; padding: 0; max-width: none; } }
nav { margin-bottom: 3mm; }
nav a { margin-right: 6mm; }
@media print { nav { display: none; } }
header { display: flex; justify-content: space-between; align-items: flex-end; gap: 6mm;
  border-bottom: 2pt solid #000; padding-bottom: 2mm; }
header p { margin: 0; }
.kicker { font-size: 8pt; letter-spacing: .08em; text-transform: uppercase; color: #333; }
h1 { margin: .5mm 0 0; font-size: 17pt; line-height: 1.15; }
.id { text-align: right; flex: none; max-width: 45%; }
.id strong { display: block; font-size: 13pt; }
.status { display: inline-block; margin-top: 1mm; padding: .3mm 2mm; border: 1pt solid #000; font-weight: bold; }
.asof { margin-top: 1mm; font-size: 8pt; color: #333; }
h2 { margin: 4.5mm 0 1mm; font-size: 11pt; break-after: avoid; }
h2 small { font-weight: normal; font-size: 8.5pt; color: #333; }
dl.summary { display: grid; grid-template-columns: repeat(4, 1fr); gap: 1.5mm 5mm; margin: 3mm 0 0; }
dt { font-size: 8pt; color: #333; }
dd { margin: 0; font-weight: bold; }
dd small { display: block; font-weight: normal; }
ul { margin: 0; padding-left: 4.5mm; }
li { margin: .6mm 0; break-inside: avoid; }
.alert { border: 1pt solid #000; border-left-width: 4pt; padding: 1.5mm 3mm 2mm; margin-top: 4mm; }
.alert h2 { margin: 0 0 1mm; }
table { width: 100%; border-collapse: collapse; table-layout: fixed; font-variant-numeric: tabular-nums; }
thead { display: table-header-group; }
th, td { text-align: left; vertical-align: top; padding: .7mm 1.2mm; }
th:first-child, td:first-child { padding-left: 0; }
th:last-child, td:last-child { padding-right: 0; }
thead th { font-size: 8pt; font-weight: normal; color: #333; border-bottom: 1pt solid #000; vertical-align: bottom; }
tbody { break-inside: avoid; border-bottom: .5pt solid #999; }
tbody.phase { break-after: avoid; border-bottom: .5pt solid #000; }
tbody.phase th { padding-top: 2.2mm; }
tbody.phase span { font-weight: normal; }
.number { text-align: right; }
.number + :not(.number) { padding-left: 3.5mm; }
.main { font-weight: bold; }
td small { display: block; font-weight: normal; font-size: 7.5pt; color: #333; }
tr.notes td { padding-top: 0; padding-left: 12mm; font-size: 8.5pt; }
tr.notes td::before { content: "\\2014\\20"; }
tfoot { display: table-row-group; break-inside: avoid; }
tfoot th, tfoot td { border-top: 1pt solid #000; font-weight: bold; }
.signatures { display: grid; grid-template-columns: repeat(2, 1fr); gap: 10mm; margin-top: 12mm; break-inside: avoid; }
.signatures p { margin: 0; border-top: .75pt solid #000; padding-top: 1mm; font-size: 8pt; color: #333; }
.seal { margin-top: 3mm; padding-top: 1.5mm; border-top: .5pt solid #999; font-size: 8pt; break-inside: avoid; }
.seal p { margin: 0 0 1mm; }
.less1 { padding-right: calc(1.2mm + 1ch); }
.less2 { padding-right: calc(1.2mm + 2ch); }
.less3 { padding-right: calc(1.2mm + 3ch); }
figure { margin: 0; break-inside: avoid; }
figcaption { font-size: 8pt; color: #333; }
svg.chart { display: block; overflow: visible; break-inside: avoid; }
section.whole { break-inside: avoid; }
td.pour { padding-top: .4mm; padding-bottom: .2mm; }
.pours { display: grid; grid-template-columns: repeat(3, 1fr); gap: 3mm; align-items: end; margin: 1.5mm 0 2mm; break-inside: avoid; }
.bars { display: grid; grid-template-columns: 11fr 5fr; gap: 3mm; align-items: end; margin-top: 2mm; break-inside: avoid; }
ol.weights { display: grid; grid-template-columns: repeat(10, 1fr); gap: .4mm 5mm; margin: 1.5mm 0; padding: 0;
  list-style: none; font-variant-numeric: tabular-nums; }
ol.weights li { text-align: right; }
ol.weights small { float: left; font-size: 7pt; color: #333; }
ol.weights .void { text-decoration: line-through; }
dl.label { margin: 1mm 0; }
dl.label div { margin-bottom: 1mm; break-inside: avoid; }
dl.label dt, dl.label dd { display: inline; }
dl.label dt::after { content: ":\\2002"; }
dl.label dd { font-weight: normal; }
/* What is signed is not signed on a page of its own, and no last sentence or first row of a table stands alone. */
footer { break-before: avoid; break-inside: avoid; }
li:last-child { break-before: avoid; }
thead + tbody.phase + tbody { break-after: avoid; }
p.sub { margin-left: 5mm; break-before: avoid; }
.fine { font-size: 8pt; }
p { margin: 0; }
.alert h2 + p, .alert ul + h2, .alert p + h2, .pours + h2 { margin-top: 0; }
.alert h2:not(:first-child) { margin-top: 2.5mm; }
code { font: 8pt "Liberation Mono", Consolas, monospace; }
`;
}
