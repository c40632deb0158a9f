import { type ReactNode, useState } from "react";

/** An evidence figure: the drawing, how to read it, and the same as a table. */
export function Figure({
  children,
  how,
  table,
}: {
  readonly children: ReactNode;
  readonly how: string | undefined;
  readonly table?: ReactNode;
}): ReactNode {
  // A table of a long cut has thousands of cells: it is made when somebody opens it.
  const [isOpen, setOpen] = useState(false);
  return (
    <figure>
      {children}
      <figcaption>
        {how && (
          <p className="how">
            <em>How to read it.</em> {how}
          </p>
        )}
        {table && (
          <details className="as-table" onToggle={(event) => setOpen(event.currentTarget.open)}>
            <summary>The same as a table</summary>
            {isOpen && table}
          </details>
        )}
      </figcaption>
    </figure>
  );
}

export interface Column<Row> {
  readonly head: string;
  readonly numeric?: boolean;
  readonly cell: (row: Row) => ReactNode;
}

/** A plain table: the first column names the row. */
export function Table<Row>({
  caption,
  columns,
  rows,
  hideCaption = false,
}: {
  readonly caption: string;
  readonly columns: readonly Column<Row>[];
  readonly rows: readonly Row[];
  readonly hideCaption?: boolean;
}): ReactNode {
  return (
    // A table wider than a small screen is moved by keys too.
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region must take focus [WCAG 2.1.1]
    <section className="wide" tabIndex={0} aria-label={caption}>
      <table>
        <caption className={hideCaption ? "unseen" : undefined}>{caption}</caption>
        <thead>
          <tr>
            {columns.map((c) => (
              <th key={c.head} scope="col" className={c.numeric ? "n" : undefined}>
                {c.head}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map((row, i) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: rows have no life of their own; the whole table is replaced
            <tr key={i}>
              {columns.map((c, j) =>
                j === 0 ? (
                  <th key={c.head} scope="row">
                    {c.cell(row)}
                  </th>
                ) : (
                  <td key={c.head} className={c.numeric ? "n" : undefined}>
                    {c.cell(row)}
                  </td>
                ),
              )}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
