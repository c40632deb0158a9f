/** Small choices of this reader, kept in this browser; none where storage is closed. */
export function readKept(name: string): string | null {
  try {
    return localStorage.getItem(`gemel.${name}`);
  } catch {
    return null;
  }
}

export function keep(name: string, value: string): void {
  try {
    localStorage.setItem(`gemel.${name}`, value);
  } catch {
    // Private windows may refuse; the choice then lasts as long as the page.
  }
}
