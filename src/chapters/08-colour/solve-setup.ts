import type { MeasureContext } from "#documents/chapter";
import type { ColourResult } from "#documents/chapter-results";
import type { Finding } from "#documents/finding";
import { matchCameras } from "#science/colour/camera-match";
import type { ChartShot } from "#science/colour/chart-shot";
import type { Lut3d } from "#science/colour/lut3d";
import type { ColourInputs } from "./colour-inputs.ts";
import { commonMoments } from "./common-moments.ts";
import { describeMatch, matchFindings } from "./describe-match.ts";
import { faceStops, withExposure } from "./face-exposure.ts";
import type { Setup } from "./plan-setups.ts";
import { writeMatchFiles, writeViewLut } from "./write-luts.ts";

/** A setup's matches and what was written of them. */
export interface SolvedSetup {
  readonly matches: NonNullable<ColourResult["matches"]>;
  readonly viewLut: string | null;
  /** The tables by the path of their file. */
  readonly tables: ReadonlyMap<string, Lut3d>;
  readonly files: readonly string[];
  readonly findings: readonly Finding[];
}

/** Matches every other camera to the first by the charts of one setup. */
export async function solveSetup(
  setup: Setup,
  number: number,
  count: number,
  { cameras, placed = {}, exposure }: ColourInputs,
  context: MeasureContext,
): Promise<SolvedSetup> {
  const [first, ...others] = cameras;
  const a = setup.shots.get(first!.device)!.judged;
  const view = await writeViewLut(a, number, context);
  const viewLut = view?.lut ?? null;
  const files: string[] = viewLut ? [viewLut] : [];
  const tables = new Map(view ? [[view.lut, view.table]] : []);
  const findings: Finding[] = [];
  const matches: SolvedSetup["matches"][number][] = [];
  const shotOf = (device: string): ChartShot | null => {
    const own = setup.shots.get(device);
    if (!own) return null;
    const more = (setup.otherExposures.get(device) ?? []).map(({ judged: { forMatch } }) => forMatch);
    return more.length > 0 ? { ...own.judged.forMatch, otherExposures: more } : own.judged.forMatch;
  };
  for (const camera of others) {
    const b = setup.shots.get(camera.device)?.judged;
    const shotB = shotOf(camera.device);
    if (!b || !shotB) continue;
    context.signal.throwIfAborted();
    let match = matchCameras(shotOf(first!.device)!, shotB);
    let byFace: number | null = null;
    if (exposure === "face") {
      const moments = commonMoments(
        { ...first!, placements: placed },
        { ...camera, placements: placed },
        setup,
      );
      byFace = await faceStops(match, moments, context);
      if (byFace === null) findings.push(noFace(camera.device));
      else match = withExposure(match, byFace);
    }
    const written = await writeMatchFiles(match, shotB.codes, a.camera, b.camera, number, context);
    files.push(...written.files);
    tables.set(written.lut, written.table);
    const described = describeMatch(match, a.camera, b.camera, written);
    matches.push({
      ...described,
      ...(byFace === null
        ? {}
        : {
            model: `${described.model}; exposure by the sitter's face, ${signed(byFace)} stop from the chart's`,
          }),
      ...(count > 1 ? { setup: number, serves: { from: setup.from, to: setup.to } } : {}),
      lut: written.lut,
    });
    findings.push(...matchFindings(match, a, b));
  }
  return { matches, viewLut, tables, files, findings };
}

const signed = (stops: number): string => `${stops < 0 ? "-" : "+"}${Math.abs(stops).toFixed(2)}`;

const noFace = (device: string): Finding => ({
  code: "colour.no-face",
  weight: "note",
  says: `The exposure of camera ${device} was to follow the sitter's face, but too little skin is seen at moments that both cameras filmed.`,
  remedy: "The chart's greys were used. Place the recordings in Clock, or set the exposure by eye.",
  evidence: { where: device },
});
