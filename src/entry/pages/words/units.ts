import { useSyncExternalStore } from "react";
import { keep, readKept } from "../data/kept.ts";
import { number } from "./numbers.ts";

/** How lengths are told: metres, or feet and inches. */
export type Units = "metric" | "feet";

const regionsWithFeet = ["US", "LR", "MM"];

/**
 * What is usual where a language tag says that the reader is.
 *
 * @param language - As a browser gives it; not every one is a tag that `Intl` would take ("C", "en-US@posix").
 */
export function unitsOf(language: string): Units {
  const region = /^[a-z]{2,3}(?:[-_][A-Za-z]{4})?[-_]([A-Za-z]{2})(?![A-Za-z])/u.exec(language)?.[1];
  return region !== undefined && regionsWithFeet.includes(region.toUpperCase()) ? "feet" : "metric";
}

/** What the reader chose in this browser; before that, what is usual where the reader is. */
function firstUnits(): Units {
  const kept = readKept("units");
  if (kept === "metric" || kept === "feet") return kept;
  return unitsOf(typeof navigator === "undefined" ? "" : navigator.language);
}

let units: Units | undefined;
const listeners = new Set<() => void>();

const readUnits = (): Units => {
  units ??= firstUnits();
  return units;
};

/** Sets how lengths are told, on every part of the page at once. */
export function setUnits(chosen: Units): void {
  units = chosen;
  keep("units", chosen);
  for (const tell of listeners) tell();
}

/** The units that the reader wants; the part is drawn again when they change. */
export function useUnits(): Units {
  return useSyncExternalStore(
    (tell) => {
      listeners.add(tell);
      return () => listeners.delete(tell);
    },
    readUnits,
    () => "metric",
  );
}

/** Metres in one foot, exactly: international yard and pound agreement of 1959. */
const metresInFoot = 0.3048;

/**
 * A length of a room in the reader's units: "2.35 m", "35 cm", or "7 ft 8½ in" to the half inch.
 *
 * @param metres - Finite.
 */
export function distance(metres: number, wanted: Units): string {
  if (wanted === "metric")
    return Math.abs(metres) < 0.995 ? `${number(metres * 100)} cm` : `${number(metres, 2)} m`;
  const halves = Math.round((Math.abs(metres) / metresInFoot) * 24);
  const sign = metres < 0 && halves > 0 ? "−" : "";
  const feet = Math.floor(halves / 24);
  const inches = Math.floor((halves % 24) / 2);
  const half = halves % 2 === 1 ? "½" : "";
  const inchText = inches === 0 && half !== "" ? half : `${inches}${half}`;
  if (feet === 0) return `${sign}${inchText} in`;
  return inches === 0 && half === "" ? `${sign}${feet} ft` : `${sign}${feet} ft ${inchText} in`;
}
