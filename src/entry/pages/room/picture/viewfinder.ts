import {
  BufferAttribute,
  BufferGeometry,
  Camera,
  HalfFloatType,
  LinearSRGBColorSpace,
  Matrix4,
  Mesh,
  NearestFilter,
  NoToneMapping,
  PCFShadowMap,
  RawShaderMaterial,
  Scene,
  UnsignedByteType,
  Vector3,
  WebGLRenderer,
  WebGLRenderTarget,
} from "three";
import type { SceneCamera } from "#room/scene";
import type { Pixels } from "./desk-messages.ts";
import { type LensSample, lensSamples } from "./lens-samples.ts";
import type { RoomModel } from "./room-model.ts";

/** The frame takes this share of the picture's breadth and height; the rest is what lies outside it. */
export const surround = 0.18;

/** One picture in the making. */
export interface Exposure {
  /** Adds samples for about this long; answers whether the picture is finished. */
  go(milliseconds: number): boolean;
  readonly done: number;
  readonly many: number;
  /** What there is so far; waits until the graphics have done their work. */
  print(): Pixels;
}

/** Renders frames of a room, one at a time, through lenses with pupils. One for a page: browsers allow few. */
export interface Viewfinder {
  /** Drawn by the processor: pictures take long, so fewer samples are taken. */
  readonly isSoftware: boolean;
  /**
   * Begins a picture of `width` by its fitting height, pixels.
   *
   * @param samples - 1 is coarse: the middle of the pupil alone.
   * @param around - Share of the frame shown beyond its edges; 0: the frame alone.
   */
  expose(
    model: RoomModel,
    camera: SceneCamera,
    wish: {
      readonly width: number;
      readonly samples: number;
      readonly around?: number;
      readonly plain?: boolean;
    },
  ): Exposure;
  dispose(): void;
}

const vertex =
  "in vec3 position; out vec2 at; void main() { at = position.xy * 0.5 + 0.5; gl_Position = vec4(position.xy, 0.0, 1.0); }";
const sum =
  "precision highp float; precision highp sampler2D; in vec2 at; out vec4 colour; uniform sampler2D before; uniform sampler2D fresh; uniform float share; void main() { vec3 c = min(texture(fresh, at).rgb, vec3(60000.0)); colour = vec4(mix(texture(before, at).rgb, c, share), 1.0); }";
/** Rows from the top. Exposed so that the face lies a little over the middle; a shoulder keeps lamps and windows from breaking off. */
const print =
  "precision highp float; precision highp sampler2D; in vec2 at; out vec4 colour; uniform sampler2D before; uniform float gain; uniform float plain; vec3 shoulder(vec3 c) { vec3 over = max(c - 0.55, 0.0); return min(c, 0.55) + 0.45 * over / (over + 0.45); } void main() { vec3 c = texture(before, vec2(at.x, 1.0 - at.y)).rgb * gain; c = plain > 0.5 ? min(c, 1.0) : shoulder(c); vec3 low = c * 12.92; vec3 high = 1.055 * pow(max(c, 0.0031308), vec3(1.0 / 2.4)) - 0.055; colour = vec4(mix(high, low, vec3(lessThanEqual(c, vec3(0.0031308)))), 1.0); }";

/** Where the sitter's clay is to lie, linear; a face is exposed a stop over grey. Common practice. */
const faceLevel = 0.36;
const clayReflects = 0.52;

/** What one size of picture is made in. */
interface Sheets {
  readonly fresh: WebGLRenderTarget;
  before: WebGLRenderTarget;
  after: WebGLRenderTarget;
  readonly paper: WebGLRenderTarget;
}
/** A page shows pictures of few sizes, each coarsely and finely. */
const mostSizes = 8;
/** Shadows are drawn anew for so many places on each light: more would not be softer to the eye. */
const shadowTurns = 16;

/**
 * Opens a viewfinder.
 *
 * @param canvas - Its graphics; nothing is ever drawn on the canvas itself.
 * @throws Error where the browser has no WebGL2.
 */
export function openViewfinder(canvas: OffscreenCanvas | HTMLCanvasElement): Viewfinder {
  const renderer = new WebGLRenderer({
    canvas,
    antialias: false,
    alpha: false,
    powerPreference: "high-performance",
  });
  renderer.outputColorSpace = LinearSRGBColorSpace;
  renderer.toneMapping = NoToneMapping;
  renderer.shadowMap.enabled = true;
  renderer.shadowMap.type = PCFShadowMap;
  renderer.shadowMap.autoUpdate = false;
  const target = (
    width: number,
    height: number,
    depthBuffer: boolean,
    type = HalfFloatType,
  ): WebGLRenderTarget =>
    new WebGLRenderTarget(width, height, {
      type: type as typeof HalfFloatType,
      minFilter: NearestFilter,
      magFilter: NearestFilter,
      depthBuffer,
    });
  // Kept by size: to make them anew would halt the graphics in the middle of a drag.
  const known = new Map<string, Sheets>();
  const sheetsOf = (width: number, height: number): Sheets => {
    const key = `${width} ${height}`;
    const kept = known.get(key);
    known.delete(key);
    const sheets = kept ?? {
      fresh: target(width, height, true),
      before: target(width, height, false),
      after: target(width, height, false),
      paper: target(width, height, false, UnsignedByteType as never),
    };
    known.set(key, sheets);
    for (const [oldest, old] of known) {
      if (known.size <= mostSizes) break;
      known.delete(oldest);
      for (const one of Object.values(old) as WebGLRenderTarget[]) one.dispose();
    }
    return sheets;
  };
  const triangle = new BufferGeometry();
  triangle.setAttribute(
    "position",
    new BufferAttribute(new Float32Array([-1, -1, 0, 3, -1, 0, -1, 3, 0]), 3),
  );
  const passOf = (fragmentShader: string, uniforms: Record<string, { value: unknown }>): RawShaderMaterial =>
    new RawShaderMaterial({
      glslVersion: "300 es",
      vertexShader: vertex,
      fragmentShader,
      uniforms,
      depthTest: false,
      depthWrite: false,
    });
  const summing = passOf(sum, { before: { value: null }, fresh: { value: null }, share: { value: 1 } });
  const printing = passOf(print, { before: { value: null }, gain: { value: 1 }, plain: { value: 0 } });
  const sheet = new Mesh(triangle, summing);
  sheet.frustumCulled = false;
  const pass = new Scene();
  pass.add(sheet);
  const flat = new Camera();
  const eye = new Camera();
  eye.matrixAutoUpdate = false;
  eye.matrixWorldAutoUpdate = false;

  const aim = (
    camera: SceneCamera,
    sample: LensSample,
    around: number,
    size: { readonly width: number; readonly height: number },
  ): void => {
    const { point, right, up, forward } = camera;
    const [x, y, z] = [0, 1, 2].map((i) => point[i]! + right[i]! * sample.right + up[i]! * sample.up) as [
      number,
      number,
      number,
    ];
    eye.matrixWorld.makeBasis(
      new Vector3(...right),
      new Vector3(...up),
      new Vector3(-forward[0], -forward[1], -forward[2]),
    );
    eye.matrixWorld.setPosition(x, y, z);
    eye.matrix.copy(eye.matrixWorld);
    eye.matrixWorldInverse.copy(eye.matrixWorld).invert();
    const near = 0.04;
    const [tx, ty] = [camera.tanHalfWidth * (1 + around), camera.tanHalfHeight * (1 + around)];
    // The frustum leans so that the plane of focus stays where it is while the pupil is walked over.
    const [sx, sy] = [sample.right / camera.focus, sample.up / camera.focus];
    const [jx, jy] = [(2 * sample.jitterX * tx) / size.width, (2 * sample.jitterY * ty) / size.height];
    eye.projectionMatrix.copy(
      new Matrix4().makePerspective(
        near * (-tx - sx + jx),
        near * (tx - sx + jx),
        near * (ty - sy + jy),
        near * (-ty - sy + jy),
        near,
        200,
      ),
    );
    eye.projectionMatrixInverse.copy(eye.projectionMatrix).invert();
  };

  const draw = (material: RawShaderMaterial, into: WebGLRenderTarget | null): void => {
    sheet.material = material;
    renderer.setRenderTarget(into);
    renderer.render(pass, flat);
  };

  const told = renderer.getContext().getExtension("WEBGL_debug_renderer_info");
  const name = told ? String(renderer.getContext().getParameter(told.UNMASKED_RENDERER_WEBGL)) : "";
  /** The room whose coarse shadows are drawn. */
  let shadowsOf: RoomModel | null = null;
  return {
    isSoftware: /swiftshader|llvmpipe|software/i.test(name),
    expose: (model, camera, { width, samples, around = surround, plain = false }) => {
      const height = Math.max(2, Math.round(width / camera.aspect));
      const sheets = sheetsOf(width, height);
      const all = lensSamples(camera, samples);
      const shadowEvery = Math.max(2, Math.ceil(all.length / shadowTurns));
      let done = 0;
      const gain = plain ? 1 : (faceLevel * Math.PI) / (model.faceLux * clayReflects);
      return {
        many: all.length,
        get done() {
          return done;
        },
        go: (milliseconds) => {
          const from = performance.now();
          model.seenBy(camera.id);
          while (done < all.length) {
            const sample = all[done]!;
            // The light moves with its shadows, so that no shadow is of a light that stands elsewhere.
            if (done % shadowEvery === 0) model.shine(sample);
            // Coarse pictures of one room share their shadows.
            renderer.shadowMap.needsUpdate =
              all.length === 1 ? shadowsOf !== model : done % shadowEvery === 0;
            shadowsOf = all.length === 1 ? model : null;
            aim(camera, sample, around, { width, height });
            renderer.setRenderTarget(sheets.fresh);
            renderer.clear();
            renderer.render(model.root, eye);
            done++;
            summing.uniforms["before"]!.value = sheets.before.texture;
            summing.uniforms["fresh"]!.value = sheets.fresh.texture;
            summing.uniforms["share"]!.value = 1 / done;
            draw(summing, sheets.after);
            [sheets.before, sheets.after] = [sheets.after, sheets.before];
            if (performance.now() - from >= milliseconds) break;
          }
          return done >= all.length;
        },
        print: () => {
          printing.uniforms["before"]!.value = sheets.before.texture;
          printing.uniforms["gain"]!.value = gain;
          printing.uniforms["plain"]!.value = plain ? 1 : 0;
          draw(printing, sheets.paper);
          const data = new Uint8ClampedArray(width * height * 4);
          renderer.readRenderTargetPixels(sheets.paper, 0, 0, width, height, data as never);
          return { width, height, data };
        },
      };
    },
    dispose: () => {
      for (const sheets of known.values())
        for (const one of Object.values(sheets) as WebGLRenderTarget[]) one.dispose();
      triangle.dispose();
      summing.dispose();
      printing.dispose();
      renderer.dispose();
    },
  };
}
