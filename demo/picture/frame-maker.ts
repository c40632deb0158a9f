import { gestureAt } from "../performance.ts";
import { hash32 } from "../random.ts";
import type { SittingPlan } from "../sitting-plan.ts";
import type { BackgroundPlanes, CameraLayers, FacePart } from "./camera-layers.ts";
import { grainTile, grainTileSide } from "./grain.ts";
import { softened } from "./lens-blur.ts";
import { project } from "./lens-view.ts";
import { headCentre } from "./miller-shape.ts";
import type { PlanarSprite } from "./planar-sprite.ts";
import { cardLift, slateLift, slateState, slideAt, softRadius } from "./staged-moves.ts";
import { coverSpans, layOver, type WarpGrid, warpGrid } from "./warp.ts";

/** Planes as the encoder takes them. */
export type CodePlanes = [Uint8Array, Uint8Array, Uint8Array] | [Uint16Array, Uint16Array, Uint16Array];

interface Laid {
  readonly sprite: PlanarSprite;
  readonly spans: Int32Array;
  readonly spansHalf: Int32Array;
}

function prepared(sprite: PlanarSprite, reach: number): Laid {
  const width = sprite.area.right - sprite.area.left;
  const height = sprite.area.bottom - sprite.area.top;
  return {
    sprite,
    spans: coverSpans(sprite.cover, width, height, reach),
    spansHalf: coverSpans(sprite.coverHalf, width / 2, height / 2, Math.ceil(reach / 2) + 1),
  };
}

function smoothstep(from: number, to: number, x: number): number {
  const t = Math.min(1, Math.max(0, (x - from) / (to - from)));
  return t * t * (3 - 2 * t);
}

/** Nodes of the warp, each with what the gestures move there. */
interface Nodes {
  readonly grid: WarpGrid;
  /** Metres right of and above the head's centre. */
  readonly right: Float32Array;
  readonly above: Float32Array;
  /** Metres nearer than the head's centre. */
  readonly nearer: Float32Array;
}

function nodesOf(layers: CameraLayers): Nodes {
  const { miller, view, millerDepth } = layers;
  const grid = warpGrid(miller.area, 16);
  const head = project(view, headCentre);
  const scale = view.focalPixels / head.depth;
  const n = grid.columns * grid.rows;
  const right = new Float32Array(n);
  const above = new Float32Array(n);
  const nearer = new Float32Array(n);
  const width = miller.area.right - miller.area.left;
  const height = miller.area.bottom - miller.area.top;
  const sum = new Float32Array(n);
  const weight = new Float32Array(n);
  for (let k = 0; k < n; k++) {
    const column = k % grid.columns;
    const row = Math.floor(k / grid.columns);
    right[k] = (grid.left + column * grid.cell - head.x) / scale;
    above[k] = (head.y - grid.top - row * grid.cell) / scale;
    for (let dy = -12; dy <= 12; dy += 4)
      for (let dx = -12; dx <= 12; dx += 4) {
        const x = column * grid.cell + dx;
        const y = row * grid.cell + dy;
        if (x < 0 || y < 0 || x >= width || y >= height) continue;
        const depth = millerDepth[y * width + x]!;
        if (depth === 0) continue;
        sum[k]! += Math.min(0.3, Math.max(-0.3, head.depth - depth));
        weight[k]! += 1;
      }
  }
  // carry the relief out beyond her outline, then smooth it: a jump would tear the cut-out
  for (let pass = 0; pass < 8; pass++) {
    const s = sum.slice();
    const w = weight.slice();
    for (let k = 0; k < n; k++) {
      if (weight[k]! > 0) continue;
      const column = k % grid.columns;
      for (const q of [
        column > 0 ? k - 1 : -1,
        column < grid.columns - 1 ? k + 1 : -1,
        k - grid.columns,
        k + grid.columns,
      ])
        if (q >= 0 && q < n && weight[q]! > 0) {
          s[k]! += sum[q]! / weight[q]!;
          w[k]! += 1;
        }
    }
    sum.set(s);
    weight.set(w);
  }
  for (let k = 0; k < n; k++) nearer[k] = weight[k]! > 0 ? sum[k]! / weight[k]! : 0;
  softened(nearer, grid.columns, grid.rows, 1, 1);
  return { grid, right, above, nearer };
}

/** Draws one camera's frames, one after another or in any order. */
export interface FrameMaker {
  /**
   * The picture at a moment of the sitting. The planes are the maker's own and are drawn over by the next call.
   *
   * @param frameIndex - Chooses the grain.
   */
  frame(sittingSeconds: number, frameIndex: number): CodePlanes;
}

export function frameMaker(layers: CameraLayers, plan: SittingPlan): FrameMaker {
  const { view, range, background: back } = layers;
  const { width, height } = view;
  const seed = plan.wish.seed;
  const head = project(view, headCentre);
  const pixelsPerMetre = view.focalPixels / head.depth;
  const reach = Math.ceil(width / 30);
  const nodes = nodesOf(layers);
  const miller = prepared(layers.miller, reach);
  const chart = prepared(layers.chart, 2);
  const slates = layers.slate.map((s) => prepared(s, 2));
  const calmSprite: PlanarSprite = {
    ...layers.miller,
    y: layers.miller.y.slice(),
    cover: layers.miller.cover.slice(),
    u: layers.miller.u.slice(),
    v: layers.miller.v.slice(),
    coverHalf: layers.miller.coverHalf.slice(),
  };
  const y = new Float32Array(width * height);
  const u = new Float32Array((width * height) / 4);
  const v = new Float32Array((width * height) / 4);
  const still = layers.name === "A" ? spread(back, width, height) : null;
  const moving = layers.name === "B" ? movingBackground(layers) : null;
  const tile = grainTile(seed, range.bits === 10 ? 2 : 0.6);
  const planes = (
    range.bits === 10
      ? [new Uint16Array(y.length), new Uint16Array(u.length), new Uint16Array(v.length)]
      : [new Uint8Array(y.length), new Uint8Array(u.length), new Uint8Array(v.length)]
  ) as CodePlanes;
  const cardGrid = warpGrid({ left: 0, top: 0, right: 16, bottom: 16 }, 16);

  function layCard(card: Laid, dx: number, dy: number): void {
    const { sprite } = card;
    const w = sprite.area.right - sprite.area.left;
    const h = sprite.area.bottom - sprite.area.top;
    // whole pixels by moving the area, the rest by reading between pixels
    const ix = 2 * Math.floor(dx / 2);
    const iy = 2 * Math.floor(dy / 2);
    const area = {
      left: sprite.area.left + ix,
      top: sprite.area.top + iy,
      right: sprite.area.left + ix + w,
      bottom: sprite.area.top + iy + h,
    };
    const grid: WarpGrid = {
      ...cardGrid,
      cell: 4096,
      left: area.left,
      top: area.top,
      columns: 2,
      rows: 2,
      dx: new Float32Array(4).fill(dx - ix),
      dy: new Float32Array(4).fill(dy - iy),
    };
    layOver([y], width, height, [sprite.y], sprite.cover, area, card.spans, grid, 1);
    layOver(
      [u, v],
      width / 2,
      height / 2,
      [sprite.u, sprite.v],
      sprite.coverHalf,
      area,
      card.spansHalf,
      grid,
      2,
    );
  }

  return {
    frame(t, frameIndex) {
      const slide = layers.name === "B" ? slideAt(t) : 0;
      if (still) {
        y.set(still.y);
        u.set(still.u);
        v.set(still.v);
      } else moving!(slide, y, u, v);

      const g = gestureAt(plan.talk, seed, t);
      const { grid, right, above, nearer } = nodes;
      for (let k = 0; k < right.length; k++) {
        const r = right[k]!;
        const a = above[k]!;
        const n = nearer[k]!;
        const inHead = smoothstep(-0.175, -0.085, a);
        const inBody = smoothstep(-0.6, -0.24, a) * (1 - smoothstep(0.21, 0.25, Math.abs(r)) * (1 - inHead));
        const hand = Math.exp(-(((r - 0.0) / 0.11) ** 2) - ((a + 0.56) / 0.085) ** 2);
        const dx =
          inHead * (g.yaw * n + g.roll * (a + 0.13) + g.headRight) + inBody * g.sway + hand * g.handRight;
        const dyUp =
          inHead * (-g.pitch * n * 0.8 - g.roll * r + g.headUp - g.pitch * 0.02) +
          inBody * g.breath * (1 - 0.4 * inHead) +
          hand * g.handUp;
        // the slider's parallax within her own depth
        const relief = view.focalPixels * slide * (1 / head.depth - 1 / (head.depth - n));
        grid.dx[k] = dx * pixelsPerMetre + relief;
        grid.dy[k] = -dyUp * pixelsPerMetre;
      }
      setFace(layers.mouth, layers.miller, calmSprite, g.mouth);
      for (const eye of layers.eyes) setFace(eye, layers.miller, calmSprite, g.lids);
      layOver([y], width, height, [calmSprite.y], calmSprite.cover, calmSprite.area, miller.spans, grid, 1);
      layOver(
        [u, v],
        width / 2,
        height / 2,
        [calmSprite.u, calmSprite.v],
        calmSprite.coverHalf,
        calmSprite.area,
        miller.spansHalf,
        grid,
        2,
      );

      const lift = cardLift(plan.talk, t);
      if (lift !== null) layCard(chart, chartShift(layers, slide), lift * height);
      const slateAt = slateLift(plan.talk, t);
      if (slateAt !== null)
        layCard(slates[slateState(plan.talk, t)]!, chartShift(layers, slide), slateAt * height);

      const soft = layers.name === "B" ? softRadius(plan.soft, t) * (width / 1280) : 0;
      if (soft > 0.3) {
        softened(y, width, height, 1, Math.round(soft));
        softened(u, width / 2, height / 2, 1, Math.round(soft / 2));
        softened(v, width / 2, height / 2, 1, Math.round(soft / 2));
      }

      const most = range.bits === 10 ? 1019 : 254;
      const offset = hash32(seed, frameIndex, 77);
      const ox = offset & (grainTileSide - 1);
      const oy = (offset >>> 12) & (grainTileSide - 1);
      const [py, pu, pv] = planes;
      for (let j = 0; j < height; j++) {
        const row = ((j + oy) & (grainTileSide - 1)) * grainTileSide;
        const at = j * width;
        for (let i = 0; i < width; i++) {
          const code = y[at + i]! + tile[row + ((i + ox) & (grainTileSide - 1))]! + 0.5;
          py[at + i] = code < 1 ? 1 : Math.min(code, most);
        }
      }
      for (let k = 0; k < u.length; k++) {
        pu[k] = u[k]! + 0.5;
        pv[k] = v[k]! + 0.5;
      }
      return planes;
    },
  };
}

/** How far the slider's move shifts the card in the picture, pixels. */
export function chartShift(layers: CameraLayers, slide: number): number {
  return (
    layers.view.focalPixels * slide * (1 / project(layers.view, headCentre).depth - 1 / layers.chartDepth)
  );
}

/** Writes a state of a part of the face into the cut-out: between the two drawn states on either side of `value`. */
function setFace(part: FacePart, base: PlanarSprite, into: PlanarSprite, value: number): void {
  const { area } = part;
  let lower: PlanarSprite = base;
  let upper: PlanarSprite = base;
  let f = 0;
  let from = 0;
  for (const state of part.states) {
    if (value <= from) break;
    lower = upper;
    upper = state.sprite;
    f = Math.min(1, (value - from) / (state.at - from));
    from = state.at;
  }
  mix(lower, upper, into, area, f, 1);
  mix(lower, upper, into, area, f, 2);
}

function mix(
  a: PlanarSprite,
  b: PlanarSprite,
  into: PlanarSprite,
  area: { left: number; top: number; right: number; bottom: number },
  f: number,
  scale: 1 | 2,
): void {
  const width = (area.right - area.left) / scale;
  const height = (area.bottom - area.top) / scale;
  const planesOf = (s: PlanarSprite): Float32Array[] =>
    scale === 1 ? [s.y, s.cover] : [s.u, s.v, s.coverHalf];
  const place = (s: PlanarSprite): [offset: number, stride: number] => {
    const stride = (s.area.right - s.area.left) / scale;
    return [((area.top - s.area.top) / scale) * stride + (area.left - s.area.left) / scale, stride];
  };
  const [ao, as] = place(a);
  const [bo, bs] = place(b);
  const [io, is] = place(into);
  const pa = planesOf(a);
  const pb = planesOf(b);
  const pi = planesOf(into);
  for (let p = 0; p < pi.length; p++)
    for (let y = 0; y < height; y++)
      for (let x = 0; x < width; x++)
        pi[p]![io + y * is + x] = pa[p]![ao + y * as + x]! * (1 - f) + pb[p]![bo + y * bs + x]! * f;
}

/** The still background at full size, read between its pixels. */
function spread(
  back: BackgroundPlanes,
  width: number,
  height: number,
): { y: Float32Array; u: Float32Array; v: Float32Array } {
  const enlarge = (plane: Float32Array, w: number, h: number): Float32Array => {
    const out = new Float32Array(w * h);
    const pitch = (back.width - 2 * back.margin) / w;
    for (let j = 0; j < h; j++) {
      const sy = (j + 0.5) * pitch + back.margin - 0.5;
      const iy = Math.floor(sy);
      for (let i = 0; i < w; i++) {
        const sx = (i + 0.5) * pitch + back.margin - 0.5;
        const ix = Math.floor(sx);
        const fx = sx - ix;
        const fy = sy - iy;
        const k = iy * back.width + ix;
        out[j * w + i] =
          (plane[k]! * (1 - fx) + plane[k + 1]! * fx) * (1 - fy) +
          (plane[k + back.width]! * (1 - fx) + plane[k + back.width + 1]! * fx) * fy;
      }
    }
    return out;
  };
  return {
    y: enlarge(back.y, width, height),
    u: enlarge(back.u, width / 2, height / 2),
    v: enlarge(back.v, width / 2, height / 2),
  };
}

/** The background of a camera that rides: nearer things drift less than far ones. */
function movingBackground(
  layers: CameraLayers,
): (slide: number, y: Float32Array, u: Float32Array, v: Float32Array) => void {
  const { background: back, view } = layers;
  const { width, height } = view;
  const cols = width / back.pitch;
  const rows = height / back.pitch;
  const aim = project(view, headCentre).depth;
  // small pixels of drift for a metre of slide, smooth so that nothing tears
  const drift = Float32Array.from(back.depth, (d) => (view.focalPixels / back.pitch) * (1 / aim - 1 / d));
  softened(drift, back.width, back.height, 1, Math.round(back.width / 50));
  const bw = cols + 2;
  const bh = rows + 2;
  const small = [new Float32Array(bw * bh), new Float32Array(bw * bh), new Float32Array(bw * bh)] as const;
  const source = [back.y, back.u, back.v] as const;
  return (slide, y, u, v) => {
    for (let j = 0; j < bh; j++) {
      const row = (j - 1 + back.margin) * back.width;
      for (let i = 0; i < bw; i++) {
        const at = i - 1 + back.margin;
        const sx = at - slide * drift[row + at]!;
        const ix = Math.max(0, Math.min(back.width - 2, Math.floor(sx)));
        const f = Math.min(1, Math.max(0, sx - ix));
        const k = row + ix;
        const o = j * bw + i;
        small[0][o] = source[0][k]! * (1 - f) + source[0][k + 1]! * f;
        small[1][o] = source[1][k]! * (1 - f) + source[1][k + 1]! * f;
        small[2][o] = source[2][k]! * (1 - f) + source[2][k + 1]! * f;
      }
    }
    enlarge(small[0], bw, y, width, height, back.pitch);
    enlarge(small[1], bw, u, width / 2, height / 2, back.pitch / 2);
    enlarge(small[2], bw, v, width / 2, height / 2, back.pitch / 2);
  };
}

/** Reads a small plane (with one pixel of margin) between its pixels, `times` as large. */
function enlarge(
  small: Float32Array,
  stride: number,
  out: Float32Array,
  width: number,
  height: number,
  times: number,
): void {
  const line = new Float32Array(stride + 1);
  for (let j = 0; j < height; j++) {
    const sy = (j + 0.5) / times + 0.5;
    const iy = Math.floor(sy);
    const fy = sy - iy;
    const a = iy * stride;
    const b = a + stride;
    for (let i = 0; i < stride; i++) line[i] = small[a + i]! * (1 - fy) + small[b + i]! * fy;
    line[stride] = line[stride - 1]!;
    const at = j * width;
    for (let i = 0; i < width; i++) {
      const sx = (i + 0.5) / times + 0.5;
      const ix = sx | 0;
      const f = sx - ix;
      out[at + i] = line[ix]! + (line[ix + 1]! - line[ix]!) * f;
    }
  }
}
