import type { MeasureContext } from "#documents/chapter";
import type { ColourResult } from "#documents/chapter-results";
import type { Lut3d } from "#science/colour/lut3d";
import type { Camera } from "./colour-inputs.ts";
import { type SheetStill, writeContactSheet } from "./contact-sheet.ts";

/** Writes the contact sheet of a match: A, B as recorded and B matched; null where a still is missing. */
export async function writeSheet(
  match: NonNullable<ColourResult["matches"]>[number],
  viewLut: string | null,
  tables: ReadonlyMap<string, Lut3d>,
  stills: ColourResult["stills"],
  cameras: readonly Camera[],
  context: MeasureContext,
): Promise<string | null> {
  const view = viewLut ? [tables.get(viewLut)!] : [];
  const lut = tables.get(match.lut)!;
  const still = (name: "a" | "b", luts: readonly Lut3d[]): SheetStill | null => {
    const taken = stills.find((one) => one.name === name);
    const recording = cameras
      .flatMap(({ recordings }) => recordings)
      .find(({ hash }) => hash === taken?.hash);
    return recording && taken?.at !== undefined ? { recording, at: taken.at, luts } : null;
  };
  const [a, before, after] = [still("a", view), still("b", []), still("b", [lut, ...view])];
  if (!a || !before || !after) return null;
  return await writeContactSheet("contact-sheet.jpg", [a, before, after], match.patches, context);
}
