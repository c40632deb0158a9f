import type { ColourResult } from "./chapter-results.ts";

/** LUTs in the order of use, and from when to when they serve: sitting time, [from, to), null where it is open. */
export interface Look {
  readonly from: number | null;
  readonly to: number | null;
  /** Relative paths. */
  readonly luts: readonly string[];
}

type Looked = Pick<ColourResult, "lut" | "viewLut" | "match" | "setups">;

/**
 * The LUTs that bring a device's picture to the common look, in the order of use: the match first where the device
 * was matched to the leading one, then the one for viewing. One look where the chart was filmed once; else one a
 * setup, in order. Empty where nothing is known.
 *
 * @param devices - All camera devices; with two of them the one that does not lead is the matched one.
 */
export function looksOfDevice(
  colour: Looked | undefined,
  device: string,
  leading: string,
  devices: readonly string[],
): Look[] {
  if (!colour) return [];
  const look = (lut: string | null, viewLut: string | null): string[] => {
    const view = viewLut === null ? [] : [viewLut];
    if (device === leading) return view;
    return lut === null ? [] : [lut, ...view];
  };
  if (colour.setups && colour.setups.length > 0)
    return colour.setups.map(({ from, to, viewLut, luts }) => ({
      from,
      to,
      luts: look(luts[device] ?? null, viewLut),
    }));
  const isMatched = colour.match?.from === device || devices.length === 2;
  const luts = look(isMatched ? colour.lut : null, colour.viewLut);
  return luts.length > 0 ? [{ from: null, to: null, luts }] : [];
}

/** The LUTs that serve at a sitting time; those of the first look where the time is not known. */
export function lutsAt(looks: readonly Look[], sittingSeconds: number | null): readonly string[] {
  const serving =
    sittingSeconds === null
      ? undefined
      : looks.find(
          ({ from, to }) => (from === null || sittingSeconds >= from) && (to === null || sittingSeconds < to),
        );
  return (serving ?? looks[0])?.luts ?? [];
}

/** The device whose frame rate and size the program has: `A` where there is one, else the first by name. */
export function leadingDevice(devices: Iterable<string>): string {
  return [...new Set(devices)].sort()[0] ?? "A";
}
