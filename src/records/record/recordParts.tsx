/** Small parts that the sections of the printed record share. */
import type { renderToStaticMarkup } from 'react-dom/server';

export type Children = Parameters<typeof renderToStaticMarkup>[0];

/** A name and what it stands for. */
export function Entry({ name, children }: { readonly name: string; readonly children: Children }) {
  return (
    <div>
      <dt>{name}</dt>
      <dd>{children}</dd>
    </div>
  );
}

/** Sentences that may be alike: their place is their key. */
export function Sentences({ of }: { readonly of: readonly string[] }) {
  return (
    <ul>
      {of.map((sentence, index) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: rendered once, never reordered
        <li key={index}>{sentence}</li>
      ))}
    </ul>
  );
}

/** Share of the width for each column, in percent, with its heading. A heading that begins with `#` is a number's. */
export function Columns({ of }: { readonly of: readonly (readonly [number, string])[] }) {
  return (
    <>
      <colgroup>
        {of.map(([share, name]) => (
          <col key={name} width={`${share}%`} />
        ))}
      </colgroup>
      <thead>
        <tr>
          {of.map(([, name]) => (
            <th key={name} scope="col" className={name.startsWith('#') ? 'number' : undefined}>
              {name.replace('#', '')}
            </th>
          ))}
        </tr>
      </thead>
    </>
  );
}

/** Rows under their headings; each keeps together on paper. */
export function Table({
  columns,
  rows,
}: {
  readonly columns: readonly (readonly [number, string])[];
  readonly rows: readonly (readonly Children[])[];
}) {
  return (
    <table>
      <Columns of={columns} />
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
