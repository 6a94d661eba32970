/** What the pages of a trace share. */

import { Entry, Sentences } from '../record/recordParts.tsx';
import type { LotPapers } from './report.ts';

export const TRACE_STYLE = `
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
  /** The day and time that the page tells of: what was written down later is not on it. */
  readonly asOf: string;
}

export function Head({
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
        <p className="asof">as known on {links.asOf}</p>
      </div>
    </header>
  );
}

export function Papers({ papers }: { readonly papers: LotPapers }) {
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

/** A link where there is a page, else the text alone. */
export function To({ href, text }: { readonly href: string | undefined; readonly text: string }) {
  return href === undefined ? text : <a href={href}>{text}</a>;
}

/** A heading and its sentences; nothing where there are none. */
export function Told({ heading, of }: { readonly heading: string; readonly of: readonly string[] }) {
  if (of.length === 0) return null;
  return (
    <section>
      <h2>{heading}</h2>
      <Sentences of={of} />
    </section>
  );
}

export function Foot({ asOf }: { readonly asOf: string }) {
  return (
    <footer>
      <div className="signatures">
        <p>Done by: name, date, signature</p>
        <p>Checked by: name, date, signature</p>
      </div>
      <div className="seal">
        <p>
          From the batch log, as known on {asOf}: what was written down later is not on this paper. Amounts that came
          through a stock are worked out as if it was evenly mixed. The program does not know what was sold to whom.
        </p>
      </div>
    </footer>
  );
}
