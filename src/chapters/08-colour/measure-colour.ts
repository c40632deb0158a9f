import type { MeasureContext } from "#documents/chapter";
import type { ColourResult } from "#documents/chapter-results";
import type { Finding } from "#documents/finding";
import type { Recording } from "#documents/recording";
import { matchCameras } from "#science/colour/camera-match";
import { saidOfCamera, shootChartByHand } from "./chart-by-hand.ts";
import type { Camera, ColourInputs } from "./colour-inputs.ts";
import { describeMatch, matchFindings } from "./describe-match.ts";
import { describeWhite } from "./describe-white.ts";
import { cornersOutside, judgeByHand } from "./judge-by-hand.ts";
import { type JudgedShot, judgeShot } from "./judge-shot.ts";
import { seekChart } from "./seek-chart.ts";
import { type ShotOfChart, shootChart } from "./shoot-chart.ts";
import { takeStills } from "./take-stills.ts";
import { writeMatchFiles, writeViewLut } from "./write-luts.ts";

/** Finds the chart in every camera, matches each other camera to the first, and writes what it takes. */
export async function measureColour(inputs: ColourInputs, context: MeasureContext): Promise<ColourResult> {
  const { cameras } = inputs;
  const findings: Finding[] = [];
  const judged = new Map<string, JudgedShot>();
  const handSet = new Set<string>();
  for (const [k, camera] of cameras.entries()) {
    const share = 0.8 / cameras.length;
    const doing = `looking for the chart in camera ${camera.device}`;
    context.progress(k * share, doing);
    const hand = saidOfCamera(camera, inputs.byHand ?? []);
    const shot = hand
      ? await shootChartByHand(hand, context)
      : await seekAndShoot(camera, context, (done) => context.progress((k + done) * share, doing));
    if (!shot && hand) {
      findings.push(cornersOutside(camera.device, hand));
      continue;
    }
    if (!shot) {
      findings.push({
        code: "colour.no-chart",
        weight: "warn",
        says: `No chart was found in camera ${camera.device}'s pictures.`,
        remedy:
          "Film the 24-patch chart with every camera for five seconds, in the light that falls on the sitter's face. Until then match this camera by eye.",
        evidence: { where: camera.device },
      });
      continue;
    }
    const judgement = hand ? judgeByHand(camera.device, shot) : judgeShot(camera.device, shot);
    if (hand) handSet.add(camera.device);
    judged.set(camera.device, judgement);
    findings.push(...judgement.findings);
  }

  context.progress(0.8, "matching");
  const [first, ...others] = cameras;
  const a = judged.get(first!.device);
  const matches: NonNullable<ColourResult["matches"]> = [];
  const files: string[] = [];
  let viewLut: string | null = null;
  if (a && a.refused === null) {
    viewLut = await writeViewLut(a, context);
    if (viewLut) files.push(viewLut);
    for (const camera of others) {
      const b = judged.get(camera.device);
      if (!b || b.refused !== null) continue;
      context.signal.throwIfAborted();
      const match = matchCameras(a.forMatch, b.forMatch);
      const written = await writeMatchFiles(match, b.forMatch.codes, a.camera, b.camera, context);
      files.push(...written.files);
      matches.push({ ...describeMatch(match, a.camera, b.camera, written), lut: written.lut });
      findings.push(...matchFindings(match, a, b));
    }
  }
  context.progress(0.9, "taking stills");
  const firstMatch = matches[0] ?? null;
  const stills = await takeStills(
    cameras,
    judged,
    firstMatch?.from ?? others[0]?.device ?? null,
    firstMatch?.lut ?? null,
    viewLut,
    context,
  );
  context.progress(1);
  const match = firstMatch ? (({ lut: _lut, ...rest }) => rest)(firstMatch) : null;
  return {
    charts: [...judged.values()].map(({ camera, shot, forMatch, problems }) => ({
      camera,
      path: shot.sighting.recording.path,
      hash: shot.sighting.recording.hash,
      at: shot.at,
      corners: shot.reading.corners.map(([x, y]) => [x, y] as [number, number]),
      patches: shot.reading.codes.map((code, index) => ({
        index,
        rgb: [...code] as [number, number, number],
      })),
      problems: [...problems],
      white: describeWhite(forMatch, shot.sighting.recording),
      picture: displayedSize(shot.sighting.recording),
      ...(handSet.has(camera) ? { byHand: true } : {}),
    })),
    match,
    ...(matches.length > 0 ? { matches } : {}),
    lut: firstMatch?.lut ?? null,
    viewLut,
    stills,
    files,
    findings: byWeight(findings),
  };
}

async function seekAndShoot(
  camera: Camera,
  context: MeasureContext,
  progress: (done: number) => void,
): Promise<ShotOfChart | null> {
  const sightings = await seekChart(camera, context, progress);
  return sightings.length > 0 ? await shootChart(sightings, context) : null;
}

/** Size as displayed, pixels: turned recordings are as wide as they were high. */
function displayedSize({ probe }: Recording): { width: number; height: number } {
  const { width, height, rotationDegrees } = probe.picture!;
  return rotationDegrees % 180 === 0 ? { width, height } : { width: height, height: width };
}

/** Worst first; otherwise in the order found. */
function byWeight(findings: readonly Finding[]): Finding[] {
  const rank = { stop: 0, warn: 1, note: 2 };
  return [...findings].sort((p, q) => rank[p.weight] - rank[q.weight]);
}
