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
  Vector3,
  WebGLRenderer,
  WebGLRenderTarget,
} from "three";
import type { SceneCamera } from "#room/scene";
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
  /** Draws what there is so far. */
  show(canvas: HTMLCanvasElement): void;
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
  /** The picture's pixels, 8 bits a part, rows from the top: for files and tests. */
  pixels(): { readonly width: number; readonly height: number; readonly data: Uint8Array };
  dispose(): void;
}

const vertex =
  "in vec3 position; out vec2 at; void main() { at = position.xy * 0.5 + 0.5; gl_Position = vec4(position.xy, 0.0, 1.0); }";
const sum =
  "precision highp float; precision highp sampler2D; in vec2 at; out vec4 colour; uniform sampler2D before; uniform sampler2D fresh; uniform float share; void main() { vec3 c = min(texture(fresh, at).rgb, vec3(60000.0)); colour = vec4(mix(texture(before, at).rgb, c, share), 1.0); }";
/** Exposed so that the face lies a little over the middle; a shoulder keeps lamps and windows from breaking off. */
const print =
  "precision highp float; precision highp sampler2D; in vec2 at; out vec4 colour; uniform sampler2D before; uniform float gain; uniform float plain; vec3 shoulder(vec3 c) { vec3 over = max(c - 0.55, 0.0); return min(c, 0.55) + 0.45 * over / (over + 0.45); } void main() { vec3 c = texture(before, at).rgb * gain; c = plain > 0.5 ? min(c, 1.0) : shoulder(c); vec3 low = c * 12.92; vec3 high = 1.055 * pow(max(c, 0.0031308), vec3(1.0 / 2.4)) - 0.055; colour = vec4(mix(high, low, vec3(lessThanEqual(c, vec3(0.0031308)))), 1.0); }";

/** Where the sitter's clay is to lie, linear; a face is exposed a stop over grey. Common practice. */
const faceLevel = 0.36;
const clayReflects = 0.52;

/** @throws Error where the browser has no WebGL2. */
export function openViewfinder(): Viewfinder {
  const renderer = new WebGLRenderer({
    antialias: false,
    alpha: false,
    preserveDrawingBuffer: true,
    powerPreference: "high-performance",
  });
  renderer.setPixelRatio(1);
  renderer.outputColorSpace = LinearSRGBColorSpace;
  renderer.toneMapping = NoToneMapping;
  renderer.shadowMap.enabled = true;
  renderer.shadowMap.type = PCFShadowMap;
  renderer.shadowMap.autoUpdate = false;
  const target = (depthBuffer: boolean): WebGLRenderTarget =>
    new WebGLRenderTarget(8, 8, {
      type: HalfFloatType,
      minFilter: NearestFilter,
      magFilter: NearestFilter,
      depthBuffer,
    });
  const fresh = target(true);
  let before = target(false);
  let after = target(false);
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
  let size = { width: 8, height: 8 };

  const aim = (camera: SceneCamera, sample: LensSample, around: number): void => {
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
  return {
    isSoftware: /swiftshader|llvmpipe|software/i.test(name),
    expose: (model, camera, { width, samples, around = surround, plain = false }) => {
      const height = Math.max(2, Math.round(width / camera.aspect));
      size = { width, height };
      renderer.setSize(width, height, false);
      for (const one of [fresh, before, after]) one.setSize(width, height);
      const all = lensSamples(camera, samples);
      let done = 0;
      printing.uniforms["gain"]!.value = plain ? 1 : (faceLevel * Math.PI) / (model.faceLux * clayReflects);
      printing.uniforms["plain"]!.value = plain ? 1 : 0;
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
            model.shine(sample);
            // A shadow drawn for every second sample is soft enough, and half the work.
            renderer.shadowMap.needsUpdate = done % 2 === 0;
            aim(camera, sample, around);
            renderer.setRenderTarget(fresh);
            renderer.clear();
            renderer.render(model.root, eye);
            done++;
            summing.uniforms["before"]!.value = before.texture;
            summing.uniforms["fresh"]!.value = fresh.texture;
            summing.uniforms["share"]!.value = 1 / done;
            draw(summing, after);
            [before, after] = [after, before];
            if (performance.now() - from >= milliseconds) break;
          }
          return done >= all.length;
        },
        show: (canvas) => {
          printing.uniforms["before"]!.value = before.texture;
          draw(printing, null);
          if (canvas.width !== width || canvas.height !== height) {
            canvas.width = width;
            canvas.height = height;
          }
          canvas.getContext("2d")!.drawImage(renderer.domElement, 0, 0);
        },
      };
    },
    pixels: () => {
      const { width, height } = size;
      printing.uniforms["before"]!.value = before.texture;
      draw(printing, null);
      const gl = renderer.getContext();
      const raw = new Uint8Array(width * height * 4);
      gl.readPixels(0, 0, width, height, gl.RGBA, gl.UNSIGNED_BYTE, raw);
      const data = new Uint8Array(raw.length);
      for (let y = 0; y < height; y++)
        data.set(raw.subarray(y * width * 4, (y + 1) * width * 4), (height - 1 - y) * width * 4);
      return { width, height, data };
    },
    dispose: () => {
      for (const one of [fresh, before, after]) one.dispose();
      triangle.dispose();
      summing.dispose();
      printing.dispose();
      renderer.dispose();
    },
  };
}
