/** The shell of a page to print: the record's own look, no script, nothing from the network. */
import { createHash } from 'node:crypto';
import { renderToStaticMarkup } from 'react-dom/server';
import { recordStyle } from './record/recordStyle.ts';

/** What a page, or a part of it, is made of. */
export type Markup = Parameters<typeof renderToStaticMarkup>[0];

export interface Paper {
  readonly title: string;
  /** Stands at the foot of every printed page. */
  readonly foot: string;
  readonly body: Markup;
  /** Style beside the record's. */
  readonly style?: string;
  /** A script that stands in the page itself; only it may run. The page must be of use without it. */
  readonly script?: string;
}

const sha256 = (text: string) => `'sha256-${createHash('sha256').update(text).digest('base64')}'`;

/** A whole HTML document. Texts in the body are escaped by the library; `title` and `foot` too. */
export function paperPage({ title, foot, body, style = '', script }: Paper): string {
  const all = `${recordStyle(foot)}${style}`;
  const mayRun = script === undefined ? '' : ` script-src ${sha256(script)};`;
  const policy = `default-src 'none'; style-src ${sha256(all)};${mayRun} base-uri 'none'; form-action 'none'`;
  const page = (
    <html lang="en">
      <head>
        <meta charSet="utf-8" />
        <meta httpEquiv="Content-Security-Policy" content={policy} />
        <meta name="viewport" content="width=device-width" />
        <meta name="referrer" content="no-referrer" />
        <title>{title}</title>
        <style>{all}</style>
      </head>
      <body>
        <main>{body}</main>
        {script !== undefined && (
          // biome-ignore lint/security/noDangerouslySetInnerHtml: a constant of the program; its hash is in the policy
          <script dangerouslySetInnerHTML={{ __html: script }} />
        )}
      </body>
    </html>
  );
  return `<!doctype html>\n${renderToStaticMarkup(page)}\n`;
}
