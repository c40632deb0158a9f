/**
 * The URL by which a file names another: relative where both lie in the sitting, so that the folder can be moved;
 * `file:///` where the other was given by its whole path.
 *
 * @param from - The file that names, relative to the sitting, `/` between parts.
 * @param to - The file that is named, relative to the sitting or absolute.
 *
 * Source: RFC 3986 section 4.2 (relative reference); RFC 8089 (file URLs).
 */
export function relativeUrl(from: string, to: string): string {
  const encode = (part: string): string =>
    encodeURIComponent(part).replace(/[!'()*]/g, (c) => `%${c.charCodeAt(0).toString(16).toUpperCase()}`);
  const parts = to.replaceAll("\\", "/").split("/");
  if (/^[A-Za-z]:$/.test(parts[0]!)) return `file:///${parts[0]}/${parts.slice(1).map(encode).join("/")}`;
  if (parts[0] === "") return `file://${parts.map(encode).join("/")}`;
  const target = parts.filter((part) => part !== ".");
  const folder = from.split("/").slice(0, -1);
  let same = 0;
  while (same < folder.length && same < target.length - 1 && folder[same] === target[same]) same++;
  return [
    ...folder.slice(same).map(() => ".."),
    ...target.slice(same).map((p) => (p === ".." ? p : encode(p))),
  ].join("/");
}
