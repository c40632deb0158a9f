/** Address of a file of the sitting, relative to the page's own. */
export function fileAddress(path: string): string {
  return `files/${path.split(/[\\/]/).map(encodeURIComponent).join("/")}`;
}

/** The last part of a path. */
export function fileName(path: string): string {
  return path.split(/[\\/]/).at(-1) ?? path;
}
