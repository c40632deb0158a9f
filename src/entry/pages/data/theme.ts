import { keep, readKept } from "./kept.ts";

export type Theme = "paper" | "dim";

/** What the reader chose, else what the system asks for. */
export function firstTheme(): Theme {
  const kept = readKept("theme");
  if (kept === "paper" || kept === "dim") return kept;
  return matchMedia("(prefers-color-scheme: dark)").matches ? "dim" : "paper";
}

export function applyTheme(theme: Theme, isChosen = false): void {
  document.documentElement.dataset.theme = theme;
  if (isChosen) keep("theme", theme);
}
