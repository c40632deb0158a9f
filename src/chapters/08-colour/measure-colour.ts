import type { MeasureContext } from "#documents/chapter";
import type { ColourResult } from "#documents/chapter-results";
import type { Finding } from "#documents/finding";
import type { Recording } from "#documents/recording";
import { findCameraCurve } from "#science/colour/camera-curve";
import { chartWhite } from "#science/colour/chart-reference";
import { evenedLight } from "#science/colour/chart-shot";
import type { Curve } from "#science/colour/curve";
import { givenCurve } from "#science/colour/given-curve";
import type { Lut3d } from "#science/colour/lut3d";
import type { Triple } from "#science/colour/matrix3";
import type { ColourInputs } from "./colour-inputs.ts";
import { describeWhite } from "./describe-white.ts";
import { type CameraCharts, findCharts } from "./find-charts.ts";
import { findDrift } from "./find-drift.ts";
import { curveWithoutChart, matchByCard, matchByScene, type WeakSide } from "./match-without-chart.ts";
import { planSetups, type Setup } from "./plan-setups.ts";
import { seekNeutralCard } from "./seek-card.ts";
import { type SolvedSetup, solveSetup } from "./solve-setup.ts";
import { takeStills } from "./take-stills.ts";
import { oneDecimal } from "./words.ts";
import { writeWeakMatchFiles } from "./write-luts.ts";
import { writeSheet } from "./write-sheet.ts";

type Match = NonNullable<ColourResult["matches"]>[number];

/** Finds the charts in every camera, matches each other camera to the first, setup by setup, and writes what it takes. */
export async function measureColour(inputs: ColourInputs, context: MeasureContext): Promise<ColourResult> {
  const { cameras, placed = {}, byHand = [] } = inputs;
  const findings: Finding[] = [];
  const charts: CameraCharts[] = [];
  for (const [k, camera] of cameras.entries()) {
    const share = 0.75 / cameras.length;
    const doing = `looking for the chart in camera ${camera.device}`;
    context.progress(k * share, doing);
    const curve = camera.curve ? givenCurve(camera.curve) : undefined;
    const found = await findCharts(camera, curve, byHand, placed, context, (done) =>
      context.progress((k + done) * share, doing),
    );
    charts.push(found);
    findings.push(...found.findings, ...found.shown.flatMap(({ judged }) => judged.findings));
  }

  context.progress(0.75, "matching");
  const [first, ...others] = charts as [CameraCharts, ...CameraCharts[]];
  const setups = planSetups(charts.flatMap(({ shown }) => shown)).filter(({ shots }) =>
    shots.has(first.camera.device),
  );
  const solved: SolvedSetup[] = [];
  for (const [k, setup] of setups.entries()) {
    context.signal.throwIfAborted();
    solved.push(await solveSetup(setup, k + 1, setups.length, inputs, context));
  }
  const matches: Match[] = solved.flatMap((one) => one.matches);
  const files = solved.flatMap((one) => one.files);
  const tables = new Map(solved.flatMap((one) => [...one.tables]));
  findings.push(...solved.flatMap((one) => one.findings));
  for (const other of others) {
    if (matches.some(({ from }) => from === other.camera.device)) continue;
    const weak = await matchWeakly(first, other, inputs, context);
    findings.push(...weak.findings);
    if (!weak.match) continue;
    matches.push(weak.match);
    files.push(...weak.files);
    if (weak.table) tables.set(weak.match.lut, weak.table);
  }
  for (const { camera, shown, isHandLost } of charts) {
    if (shown.length === 0 && !isHandLost) findings.push(noChart(camera.device));
  }

  context.progress(0.85, "following the white");
  const drift: NonNullable<ColourResult["drift"]> = [];
  for (const { camera, curve, through, shown } of charts) {
    const found = await findDrift(
      camera.device,
      through,
      setups.length > 0 ? setups : [{ from: null, to: null }],
      placed,
      shown[0]
        ? findCameraCurve(shown[0].judged.forMatch).curve
        : curveWithoutChart(camera.recordings[0]!, curve).curve,
      context,
    );
    drift.push(...found.drift);
    findings.push(...found.findings);
    files.push(...found.drift.flatMap(({ file }) => (file ? [file] : [])));
  }

  context.progress(0.9, "taking stills");
  const firstMatch = matches[0] ?? null;
  const viewLut = solved[0]?.viewLut ?? null;
  const served = new Map(
    cameras.flatMap(({ device }) => {
      const shot =
        setups[0]?.shots.get(device) ?? charts.find(({ camera }) => camera.device === device)?.shown[0];
      return shot ? [[device, shot.judged] as const] : [];
    }),
  );
  const stills = await takeStills(
    cameras,
    served,
    firstMatch?.from ?? others[0]?.camera.device ?? null,
    firstMatch?.lut ?? null,
    viewLut,
    context,
  );
  const contactSheet = firstMatch
    ? await writeSheet(firstMatch, viewLut, tables, stills, cameras, context)
    : null;
  if (contactSheet) files.push(contactSheet);
  context.progress(1);
  const match = firstMatch ? (({ lut: _lut, ...rest }) => rest)(firstMatch) : null;
  return {
    charts: charts.flatMap(({ shown }) =>
      shown.map((one): ColourResult["charts"][number] => {
        const { judged, byHand: isByHand, sittingAt } = one;
        const { shot, forMatch, problems, camera } = judged;
        const at = setups.findIndex(({ shots, otherExposures }) =>
          [shots.get(camera), ...(otherExposures.get(camera) ?? [])].some((used) => used?.judged === judged),
        );
        const isForCurve = at >= 0 && setups[at]!.shots.get(camera)?.judged !== judged;
        return {
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
          ...(isByHand ? { byHand: true } : {}),
          ...(setups.length > 1 && at >= 0 ? { setup: at + 1 } : {}),
          ...(shown.length > 1 && sittingAt !== null ? { sittingAt } : {}),
          ...(isForCurve ? { forCurve: true } : {}),
        };
      }),
    ),
    match,
    ...(matches.length > 0 ? { matches } : {}),
    lut: firstMatch?.lut ?? null,
    viewLut,
    ...(setups.length > 1 ? { setups: solved.map((one, k) => looksOf(setups[k]!, one)) } : {}),
    ...(drift.length > 0 ? { drift } : {}),
    ...(contactSheet ? { contactSheet } : {}),
    stills,
    files,
    findings: byWeight(findings),
  };
}

const looksOf = (
  { from, to }: Setup,
  { viewLut, matches }: SolvedSetup,
): NonNullable<ColourResult["setups"]>[number] => ({
  from,
  to,
  viewLut,
  luts: Object.fromEntries(matches.map((match) => [match.from, match.lut])),
});

/** Matches a camera for which the charts do not serve: by a grey side, else by what both cameras see. */
async function matchWeakly(
  a: CameraCharts,
  b: CameraCharts,
  inputs: ColourInputs,
  context: MeasureContext,
): Promise<{ match: Match | null; table: Lut3d | null; files: readonly string[]; findings: Finding[] }> {
  const none = { match: null, table: null, files: [], findings: [] };
  // A chart that was refused was refused: film it again.
  if (
    [a, b].some(({ shown, isHandLost }) => isHandLost || shown.some(({ judged }) => judged.refused !== null))
  )
    return none;
  const [sideA, sideB] = [await weakSide(a, context), await weakSide(b, context)];
  const placements = inputs.placed ?? {};
  const weak =
    matchByCard(sideA, sideB) ??
    (await matchByScene(
      { ...sideA, camera: { ...a.camera, placements } },
      { ...sideB, camera: { ...b.camera, placements } },
      context,
    ));
  if (!weak) return none;
  const [to, from] = [a.camera.device, b.camera.device];
  const { lut, table, files } = await writeWeakMatchFiles(weak, to, from, context);
  const before = { mean: weak.before, max: weak.before };
  const after = { mean: weak.after, max: weak.after };
  return {
    match: {
      from,
      to,
      model: weak.model,
      by: weak.by,
      weaker: weak.weaker,
      uncertainty: weak.uncertainty,
      before,
      after,
      leftOut: { mean: weak.uncertainty, max: weak.uncertainty },
      patches: [],
      lut,
    },
    table,
    files,
    findings: [
      {
        code: weak.by === "card" ? "colour.matched-by-card" : "colour.matched-by-scene",
        weight: "warn",
        says: weak.weaker,
        remedy:
          "Look at the two faces side by side before you rely on it. Film the 24-patch chart with both cameras where you can.",
        evidence: { where: from, figure: `unsure by ${oneDecimal(weak.uncertainty)} CIEDE2000` },
      },
    ],
  };
}

async function weakSide(
  { camera, curve: given, shown }: CameraCharts,
  context: MeasureContext,
): Promise<WeakSide> {
  const chart = shown[0]?.judged.forMatch;
  if (chart) {
    const { curve } = findCameraCurve(chart);
    const white = chartWhite(evenedLight(chart, curve));
    const code = white.map((v) => curve.toCode(v)) as unknown as Triple;
    return { device: camera.device, curve, isAssumed: false, neutral: { code, isCard: false } };
  }
  const assumed: { readonly curve: Curve; readonly isAssumed: boolean } = curveWithoutChart(
    camera.recordings[0]!,
    given,
  );
  const card = await seekNeutralCard(camera, context);
  return {
    device: camera.device,
    ...assumed,
    ...(card ? { neutral: { code: card.code, isCard: true } } : {}),
  };
}

const noChart = (device: string): Finding => ({
  code: "colour.no-chart",
  weight: "warn",
  says: `No chart was found in camera ${device}'s pictures.`,
  remedy:
    "Film the 24-patch chart with every camera for five seconds, in the light that falls on the sitter's face. Until then match this camera by eye.",
  evidence: { where: device },
});

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
