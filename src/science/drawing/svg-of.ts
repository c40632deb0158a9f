import type { Drawing, Mark } from "./marks.ts";

/** A drawing as an SVG document that stands in a page of its own style sheet; its sentence is its title. */
export function svgOf({ width, height, marks, says }: Drawing): string {
  const body = marks.map(elementOf).join("");
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}" role="img"><title>${escaped(says)}</title>${body}</svg>`;
}

function elementOf(mark: Mark): string {
  const more = "opacity" in mark && mark.opacity !== undefined ? ` opacity="${mark.opacity}"` : "";
  const fill = "fill" in mark && mark.fill !== undefined ? ` style="fill:${escaped(mark.fill)}"` : "";
  switch (mark.kind) {
    case "path":
      return `<path class="${mark.look}" d="${mark.d}"${more}/>`;
    case "dot":
      return `<circle class="${mark.look}" cx="${mark.x}" cy="${mark.y}" r="${mark.r}"${fill}${more}/>`;
    case "box":
      return `<rect class="${mark.look}" x="${mark.x}" y="${mark.y}" width="${mark.width}" height="${mark.height}"${fill}/>`;
    case "text":
      return `<text class="${mark.look}" x="${mark.x}" y="${mark.y}"${mark.anchor ? ` text-anchor="${mark.anchor}"` : ""}>${escaped(mark.text)}</text>`;
  }
}

/** Text for an element or a quoted attribute of XML. */
export function escaped(text: string): string {
  return text
    .replaceAll("&", "&amp;")
    .replaceAll("<", "&lt;")
    .replaceAll(">", "&gt;")
    .replaceAll('"', "&quot;");
}
