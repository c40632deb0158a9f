import type { MeasureContext } from "#documents/chapter";
import { writeColorDecisionList } from "#formats/cdl/write-cdl";
import { writeClf } from "#formats/clf/write-clf";
import { formatCube } from "#formats/cube/cube";
import { bradfordAdaptation } from "#science/colour/bradford";
import { findCameraCurve, lightnessError } from "#science/colour/camera-curve";
import type { CameraMatch } from "#science/colour/camera-match";
import { applyCdl, type Cdl } from "#science/colour/cdl";
import { chartWhite, fitReferenceView } from "#science/colour/chart-reference";
import { evenedLight, throughCurve } from "#science/colour/chart-shot";
import { chart24LabFrom2014, chart24Neutrals, chart24White } from "#science/colour/chart24";
import { colourDifferenceCie2000 } from "#science/colour/ciede2000";
import { d50ToDisplayBt709 } from "#science/colour/display-view";
import { fitCdl } from "#science/colour/fit-cdl";
import { curveOfTransferTag, isDisplayTransfer } from "#science/colour/h273-transfer";
import { xyzToLab } from "#science/colour/lab";
import { chooseLutSize } from "#science/colour/lut-agreement";
import { type Lut3d, makeLut3d } from "#science/colour/lut3d";
import { applyMatrix3, type Triple } from "#science/colour/matrix3";
import { bt709, rgbToXyzMatrix } from "#science/colour/primaries";
import { chromaticityToXyz, whiteD65 } from "#science/colour/white-points";
import type { JudgedShot } from "./judge-shot.ts";
import type { WeakMatch } from "./match-without-chart.ts";
import { oneDecimal } from "./words.ts";

const expects =
  "Input and output: full-range RGB code values, 0 black and 1 white of the stream's own range (limited-range video expanded first).";

/** What was written of a match. */
export interface MatchFiles {
  /** The .cube table; the other files are the same match for other programs. */
  readonly lut: string;
  readonly table: Lut3d;
  readonly files: readonly string[];
  readonly cdl: Cdl;
  /** What the CDL leaves, CIEDE2000, one a patch. */
  readonly cdlLeaves: readonly number[];
}

/** Writes the match as a .cube table, as a CLF file with the same table, and as the nearest ASC CDL. */
export async function writeMatchFiles(
  match: CameraMatch,
  codesB: readonly Triple[],
  to: string,
  from: string,
  setup: number,
  context: MeasureContext,
): Promise<MatchFiles> {
  const toLab = (code: Triple): Triple => match.view.toLab(throughCurve(match.curveA.curve, code));
  const lut = chooseLutSize(match.transform, toLab);
  const mean = (values: readonly number[]): number => values.reduce((sum, v) => sum + v, 0) / values.length;
  const name = `camera-${from.toLowerCase()}-to-${to.toLowerCase()}${inName(setup)}`;
  const title = `Camera ${from} to camera ${to}${inTitle(setup)}`;
  const says = [
    `Takes camera ${from}'s code values to camera ${to}'s: lay it under any look made for camera ${to}.`,
    expects,
    `Chart: ${oneDecimal(mean(match.before))} CIEDE2000 as recorded with exposure taken out, ${oneDecimal(mean(match.after))} matched, ${oneDecimal(mean(match.leftOut))} on patches left out of the fit.`,
  ];
  const cube = await context.writeText(`${name}.cube`, formatCube(lut, { title, comments: says }));
  const clf = await context.writeText(
    `${name}.clf`,
    writeClf(clfAbout(title, says, from, to), clfTable(lut)),
  );
  const wanted = match.lightA.map(match.view.toLab);
  const cdl = fitCdl(codesB, wanted, toLab);
  const cdlLeaves = codesB.map((code, i) => colourDifferenceCie2000(toLab(applyCdl(cdl, code)), wanted[i]!));
  const decisions = await context.writeText(
    `${name}.cdl`,
    writeColorDecisionList([
      {
        id: name,
        cdl,
        descriptions: [
          `${title}, as near as ten numbers come: ${oneDecimal(mean(cdlLeaves))} CIEDE2000 on the chart where the table leaves ${oneDecimal(mean(match.after))}. ${expects}`,
        ],
      },
    ]),
  );
  return { lut: cube, table: lut, files: [cube, clf, decisions], cdl, cdlLeaves };
}

const inName = (setup: number): string => (setup > 1 ? `-${setup}` : "");
const inTitle = (setup: number): string => (setup > 1 ? `, setup ${setup}` : "");

/** Writes a match that no chart stands behind as a .cube and a CLF file. */
export async function writeWeakMatchFiles(
  match: WeakMatch,
  to: string,
  from: string,
  context: MeasureContext,
): Promise<{ readonly lut: string; readonly table: Lut3d; readonly files: readonly string[] }> {
  const name = `camera-${from.toLowerCase()}-to-${to.toLowerCase()}`;
  const title = `Camera ${from} to camera ${to}, without a chart`;
  const lut = chooseLutSize(match.transform, match.toLab);
  const says = [
    `Takes camera ${from}'s code values to camera ${to}'s: lay it under any look made for camera ${to}.`,
    expects,
    match.weaker,
  ];
  const cube = await context.writeText(`${name}.cube`, formatCube(lut, { title, comments: says }));
  const clf = await context.writeText(
    `${name}.clf`,
    writeClf(clfAbout(title, says, from, to), clfTable(lut)),
  );
  return { lut: cube, table: lut, files: [cube, clf] };
}

const clfAbout = (name: string, descriptions: readonly string[], from: string, to: string) => ({
  name,
  descriptions,
  inputDescriptor: `Camera ${from}, full-range RGB code values`,
  outputDescriptor: `Camera ${to}, full-range RGB code values`,
});
const clfTable = (lut: Lut3d) => [{ kind: "LUT3D", lut, interpolation: "tetrahedral" } as const];

/** Writes the table that shows camera A on a BT.709 screen; null where its pictures are made for one and look right. */
export async function writeViewLut(
  a: JudgedShot,
  setup: number,
  context: MeasureContext,
): Promise<{ readonly lut: string; readonly table: Lut3d } | null> {
  if (isAlreadyDisplay(a)) return null;
  const { unusable } = a.forMatch;
  const { curve } = findCameraCurve(a.forMatch);
  const view = fitReferenceView(evenedLight(a.forMatch, curve), new Set(unusable ?? []));
  const show = (code: Triple): Triple => d50ToDisplayBt709(view.toXyz(throughCurve(curve, code)));
  const lut = makeLut3d(65, show);
  const path = await context.writeText(
    `camera-${a.camera.toLowerCase()}-view${inName(setup)}.cube`,
    formatCube(lut, {
      title: `Camera ${a.camera} for viewing${inTitle(setup)}`,
      comments: [
        `Takes camera ${a.camera}'s code values to a BT.709 picture for viewing: chart colours as published, highlights rolled off.`,
        expects,
      ],
    }),
  );
  return { lut: path, table: lut };
}

/**
 * Whether A's pictures look right on a BT.709 screen as they are: its greys are straight under a display curve and
 * its colours, one exposure taken out, lie near the published ones.
 */
export function isAlreadyDisplay({ forMatch }: JudgedShot): boolean {
  const { codes, transfer, illumination } = forMatch;
  const unspecified = curveOfTransferTag(transfer) === null;
  if (!unspecified && !isDisplayTransfer(transfer)) return false;
  const curve = curveOfTransferTag(unspecified ? 1 : transfer)!;
  if (lightnessError(curve, chart24Neutrals, codes, illumination) > 4) return false;
  const lights = evenedLight(forMatch, curve);
  const exposure = 1 / chartWhite(lights)[1];
  const differences = lights.map((light, i) => {
    const xyz = applyMatrix3(
      toD50,
      applyMatrix3(fromBt709, [light[0] * exposure, light[1] * exposure, light[2] * exposure]),
    );
    return colourDifferenceCie2000(xyzToLab(xyz, chart24White), chart24LabFrom2014[i]!);
  });
  return differences.reduce((sum, d) => sum + d, 0) / differences.length < 9;
}

const fromBt709 = rgbToXyzMatrix(bt709);
const toD50 = bradfordAdaptation(chromaticityToXyz(whiteD65), chart24White);
