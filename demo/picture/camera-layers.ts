import { type CameraColour, cameraA, cameraB } from "./camera-colour.ts";
import { type CardSprite, chartCentre, chartCorners, renderChart } from "./chart-card.ts";
import { type CodeRange, codeRange, sceneEncoder, signalEncoder } from "./code-planes.ts";
import { throughLens, withGlow } from "./lens-blur.ts";
import { type LensView, project, type Vector3, withMargin } from "./lens-view.ts";
import { renderLoft } from "./loft-plate.ts";
import { headCentre, headTurn, type MillerPose } from "./miller-shape.ts";
import { type Rectangle, renderMiller, type Sprite } from "./miller-sprite.ts";
import { falloff, type PlanarSprite, planarSprite } from "./planar-sprite.ts";
import { renderSlate, slateStates } from "./slate-card.ts";
import { viewOfCameraA, viewOfCameraB } from "./staging.ts";

/** A part of the face in several states, the first being that of the miller's cut-out itself. */
export interface FacePart {
  readonly area: Rectangle;
  readonly states: readonly { readonly at: number; readonly sprite: PlanarSprite }[];
}

/** The loft in a camera's codes, at a coarser pitch than the picture, with a margin. */
export interface BackgroundPlanes {
  readonly width: number;
  readonly height: number;
  /** Picture pixels to one of these, and the margin in these. */
  readonly pitch: number;
  readonly margin: number;
  readonly y: Float32Array;
  readonly u: Float32Array;
  readonly v: Float32Array;
  /** Metres along the axis. */
  readonly depth: Float32Array;
}

/** Everything of one camera's picture that does not change while it runs. */
export interface CameraLayers {
  readonly name: "A" | "B";
  readonly view: LensView;
  readonly range: CodeRange;
  readonly background: BackgroundPlanes;
  readonly miller: PlanarSprite;
  /** Distance of the miller's surface, in her cut-out's pixels; 0 beside her. */
  readonly millerDepth: Float32Array;
  readonly mouth: FacePart;
  readonly eyes: readonly FacePart[];
  readonly chart: PlanarSprite;
  readonly chartDepth: number;
  readonly chartCorners: readonly (readonly [number, number])[];
  readonly slate: readonly PlanarSprite[];
}

interface CameraKind {
  readonly colour: CameraColour;
  readonly bits: 8 | 10;
  readonly focalLengthMm: number;
  readonly fNumber: number;
  readonly pitch: number;
  readonly samples: number;
}

const kinds: Record<"A" | "B", CameraKind> = {
  A: { colour: cameraA, bits: 10, focalLengthMm: 52, fNumber: 2, pitch: 2, samples: 8 },
  B: { colour: cameraB, bits: 8, focalLengthMm: 88, fNumber: 2.4, pitch: 4, samples: 15 },
};

const calm: MillerPose = { mouthOpen: 0, mouthWide: 0, lidsClosed: 0.1 };

function even(v: number): number {
  return 2 * Math.floor(v / 2);
}

/** The pixels that a box in the head's own frame may cover. */
function areaOfHeadBox(view: LensView, low: Vector3, high: Vector3): Rectangle {
  let left = 1e9;
  let right = -1e9;
  let top = 1e9;
  let bottom = -1e9;
  for (let corner = 0; corner < 8; corner++) {
    const x = corner & 1 ? high[0] : low[0];
    const y = corner & 2 ? high[1] : low[1];
    const z = corner & 4 ? high[2] : low[2];
    const p = project(view, [
      headCentre[0] + Math.cos(headTurn) * x + Math.sin(headTurn) * z,
      headCentre[1] + y,
      headCentre[2] - Math.sin(headTurn) * x + Math.cos(headTurn) * z,
    ]);
    left = Math.min(left, p.x);
    right = Math.max(right, p.x);
    top = Math.min(top, p.y);
    bottom = Math.max(bottom, p.y);
  }
  return { left: even(left) - 2, top: even(top) - 2, right: even(right) + 4, bottom: even(bottom) + 4 };
}

function within(area: Rectangle, limits: Rectangle): Rectangle {
  return {
    left: Math.max(area.left, limits.left),
    top: Math.max(area.top, limits.top),
    right: Math.min(area.right, limits.right),
    bottom: Math.min(area.bottom, limits.bottom),
  };
}

function background(
  kind: CameraKind,
  view: LensView,
  seed: number,
  tell: (share: number) => void,
): BackgroundPlanes {
  const { pitch } = kind;
  const marginFull = kind.bits === 8 ? Math.ceil((0.14 * view.width) / 16) * 16 : 16;
  const margin = marginFull / pitch;
  const small: LensView = {
    ...view,
    width: view.width / pitch,
    height: view.height / pitch,
    focalPixels: view.focalPixels / pitch,
    centreX: view.centreX / pitch,
    centreY: view.centreY / pitch,
  };
  const padded = withMargin(small, margin, margin);
  const toSitter = project(view, headCentre).depth;
  const plate = throughLens(renderLoft(padded, kind.samples, seed, tell), {
    focalLengthMm: kind.focalLengthMm,
    fNumber: kind.fNumber,
    focusMetres: toSitter,
    frameWidth: small.width,
    leastRadius: 1.1,
  });
  withGlow(plate, 0.5, 0.055);
  const range = codeRange(kind.bits);
  const encode = sceneEncoder(kind.colour, range);
  const n = plate.width * plate.height;
  const y = new Float32Array(n);
  const u = new Float32Array(n);
  const v = new Float32Array(n);
  const code = new Float64Array(3);
  for (let k = 0; k < n; k++) {
    const f = falloff(
      (k % plate.width) - margin,
      Math.floor(k / plate.width) - margin,
      small.width,
      small.height,
    );
    encode(plate.rgb[3 * k]! * f, plate.rgb[3 * k + 1]! * f, plate.rgb[3 * k + 2]! * f, code, 0);
    y[k] = code[0]!;
    u[k] = code[1]!;
    v[k] = code[2]!;
  }
  return { width: plate.width, height: plate.height, pitch, margin, y, u, v, depth: plate.depth };
}

function card(sprite: CardSprite, kind: CameraKind, view: LensView): PlanarSprite {
  return planarSprite(
    { area: sprite.area, rgb: sprite.signal, cover: sprite.cover },
    signalEncoder(kind.colour, codeRange(kind.bits)),
    view,
  );
}

/**
 * Draws all that stands still for one camera. The slow part of a demo: some seconds at 1280 x 720.
 *
 * @param tell - Share done, 0 to 1.
 */
export function renderCameraLayers(
  name: "A" | "B",
  width: number,
  height: number,
  seed: number,
  tell: (share: number) => void = () => {},
): CameraLayers {
  const kind = kinds[name];
  const view = name === "A" ? viewOfCameraA(width, height) : viewOfCameraB(width, height);
  const range = codeRange(kind.bits);
  const encode = sceneEncoder(kind.colour, range);
  const planar = (s: Sprite): PlanarSprite => planarSprite(s, encode, view);

  const back = background(kind, view, seed, (share) => tell(0.45 * share));
  // the part of the picture that she can be in, and a little more below and beside for when she moves
  const room = Math.ceil(width / 40);
  const limits: Rectangle = {
    left: -even(room),
    top: -even(room),
    right: width + even(room),
    bottom: height + even(room),
  };
  const reach = areaOfHeadBox(view, [-0.42, -0.95, -0.3], [0.42, 0.14, 0.5]);
  const area = within(reach, limits);
  const miller = renderMiller(view, area, calm, (share) => tell(0.45 + 0.4 * share));
  const mouthArea = within(areaOfHeadBox(view, [-0.036, -0.128, 0.03], [0.036, -0.046, 0.104]), limits);
  const mouthStates = [0.3, 0.62, 1].map((at) => ({
    at,
    sprite: planar(renderMiller(view, mouthArea, { ...calm, mouthOpen: at })),
  }));
  tell(0.92);
  const eyes = ([-1, 1] as const).map((side) => {
    const eyeArea = within(
      areaOfHeadBox(view, [side * 0.0305 - 0.018, -0.015, 0.055], [side * 0.0305 + 0.018, 0.019, 0.09]),
      limits,
    );
    const states = [0.55, 1].map((at) => ({
      at,
      sprite: planar(renderMiller(view, eyeArea, { ...calm, lidsClosed: at })),
    }));
    return { area: eyeArea, states };
  });
  tell(0.97);
  const layers: CameraLayers = {
    name,
    view,
    range,
    background: back,
    miller: planar(miller),
    millerDepth: miller.depth,
    mouth: { area: mouthArea, states: mouthStates },
    eyes,
    chart: card(renderChart(view, kind.colour), kind, view),
    chartDepth: project(view, chartCentre).depth,
    chartCorners: chartCorners(view),
    slate: slateStates.map((open) => card(renderSlate(view, kind.colour, open), kind, view)),
  };
  tell(1);
  return layers;
}
