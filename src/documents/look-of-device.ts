import type { ColourResult } from "./chapter-results.ts";

/**
 * The LUTs that bring a device's picture to the common look, in the order of use: the match first where the device
 * was matched to the leading one, then the one for viewing. Empty where nothing is known.
 *
 * @param devices - All camera devices; with two of them the one that does not lead is the matched one.
 */
export function lutsOfDevice(
  colour: Pick<ColourResult, "lut" | "viewLut" | "match"> | undefined,
  device: string,
  leading: string,
  devices: readonly string[],
): string[] {
  if (!colour) return [];
  const view = colour.viewLut === null ? [] : [colour.viewLut];
  if (device === leading) return view;
  const isMatched = colour.match?.from === device || devices.length === 2;
  return colour.lut !== null && isMatched ? [colour.lut, ...view] : [];
}

/** The device whose frame rate and size the program has: `A` where there is one, else the first by name. */
export function leadingDevice(devices: Iterable<string>): string {
  return [...new Set(devices)].sort()[0] ?? "A";
}
