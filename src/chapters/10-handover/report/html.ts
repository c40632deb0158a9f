import { escaped } from "#science/drawing/svg-of";

/** Markup that is safe as it stands. */
export interface Html {
  readonly html: string;
}

/** Markup from a template: texts in it are escaped, markup and lists of markup are not. */
export function html(
  parts: TemplateStringsArray,
  ...values: readonly (string | number | Html | readonly Html[] | null)[]
): Html {
  const text = parts.reduce((sum, part, i) => {
    const value = values[i - 1];
    if (i === 0 || value === null || value === undefined) return sum + part;
    if (typeof value === "string" || typeof value === "number")
      return `${sum}${escaped(String(value))}${part}`;
    return `${sum}${"html" in value ? value.html : value.map((one) => one.html).join("")}${part}`;
  }, "");
  return { html: text };
}

/** Nothing to see. */
export const nothing: Html = { html: "" };

/** Markup that was made elsewhere and is trusted: drawings. */
export const raw = (text: string): Html => ({ html: text });

/** A table with a caption; the first column names the row. Numbers stand at the right. */
export function table(
  caption: string,
  columns: readonly { readonly head: string; readonly numeric?: boolean }[],
  rows: readonly (readonly (string | Html)[])[],
): Html {
  if (rows.length === 0) return nothing;
  const cell = (value: string | Html, i: number): Html => {
    const inner = typeof value === "string" ? html`${value}` : value;
    const look = columns[i]?.numeric ? "n" : "";
    return i === 0
      ? html`<th scope="row" class="${look}">${inner}</th>`
      : html`<td class="${look}">${inner}</td>`;
  };
  return html`<table><caption>${caption}</caption><thead><tr>${columns.map(
    ({ head, numeric }) => html`<th scope="col" class="${numeric ? "n" : ""}">${head}</th>`,
  )}</tr></thead><tbody>${rows.map((row) => html`<tr>${row.map(cell)}</tr>`)}</tbody></table>`;
}
