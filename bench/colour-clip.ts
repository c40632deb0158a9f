import { seekCharts } from "#colour/seek-chart";
import { shootChart } from "#colour/shoot-chart";
import type { MeasureContext } from "#documents/chapter";
import type { DeepPicture, SmallPicture } from "#documents/media-reader";
import type { Recording } from "#documents/recording";
import { chartlessTrial, chartTrial } from "#science/vision/chart-trials";
import { toPlanes } from "#science/vision/planes";

/** A 4K recording of arrays, decoded before anything is measured: what is left is looking. */
export interface DecodedClip {
  readonly what: string;
  readonly seconds: number;
  /** Looks through it for charts and reads what is found; answers how often the chart was seen. */
  readonly look: () => Promise<number>;
}

const large = { width: 3840, height: 2160 };
const small = { width: 640, height: 360 };
const perSecond = 25;

/** Clips in which every frame is a key frame and something moves in every one: the most that there is to look at. */
export function decodedClips(): DecodedClip[] {
  const chart = chartTrial(1, { ...large, hard: false }).picture;
  const shown = Array.from({ length: 8 }, (_, k) => grained(shrunk(chart), k));
  const exact = deep(chart);
  const moving = Array.from({ length: 8 }, (_, k) => chartlessTrial(40 + 5 * k, small).rgb);
  const sitter = Array.from({ length: 8 }, (_, k) => withMover(chartlessTrial(41, small).rgb, k));
  return [
    clip("10 s of 4K, the chart in it throughout", 10, shown, exact),
    clip("10 s of 4K, another busy ground at every frame, no chart", 10, moving, exact),
    clip("20 min of 4K, somebody moving before a still ground, no chart", 1200, sitter, exact),
  ];
}

function clip(
  what: string,
  seconds: number,
  pictures: readonly Uint8Array[],
  exact: DeepPicture,
): DecodedClip {
  const recording = recordingOf(seconds);
  async function* keys(
    _recording: Recording,
    wish: { startSeconds?: number; endSeconds?: number; spacingSeconds?: number },
  ): AsyncGenerator<SmallPicture> {
    const step = Math.max(wish.spacingSeconds ?? 0.4, 1 / perSecond);
    const end = Math.min(seconds, wish.endSeconds ?? seconds);
    for (let at = wish.startSeconds ?? 0, k = 0; at < end; at += step, k++)
      yield { atSeconds: at, ...small, rgb: pictures[k % pictures.length]! };
  }
  async function* frames(_recording: Recording, times: readonly number[]): AsyncGenerator<DeepPicture> {
    for (const at of times) yield { ...exact, atSeconds: at };
  }
  const context = {
    media: { keyPictures: keys, pictures: keys, framesAt: frames },
    signal: { throwIfAborted: () => {} },
    progress: () => {},
  } as unknown as MeasureContext;
  return {
    what,
    seconds,
    look: async () => {
      let seen = 0;
      for (const { showings } of await seekCharts(
        { device: "A", recordings: [recording] },
        context,
        () => {},
      ))
        for (const showing of showings) {
          seen += showing.length;
          await shootChart(showing, context);
        }
      return seen;
    },
  };
}

/** A head's worth of skin that wanders about the middle of a picture, and hands below it. */
function withMover(rgb: Uint8Array, k: number): Uint8Array {
  const out = rgb.slice();
  const blob = (cx: number, cy: number, radius: number): void => {
    for (let y = Math.ceil(cy - radius); y < Math.min(small.height, cy + radius); y++) {
      const half = Math.sqrt(Math.max(0, radius ** 2 - (y - cy) ** 2));
      for (let x = Math.ceil(cx - half); x < cx + half; x++)
        out.set([178 - (y & 15), 132 - (y & 15), 110], (y * small.width + x) * 3);
    }
  };
  blob(300 + 9 * Math.cos(k), 120 + 6 * Math.sin(2 * k), 48);
  blob(240 + 25 * Math.cos(3 * k), 290 + 20 * Math.sin(k), 22);
  blob(370 + 25 * Math.sin(2 * k), 300 + 15 * Math.cos(k), 22);
  return out;
}

function shrunk(picture: { width: number; height: number; rgb: Uint8Array }): Uint8Array {
  const { planes } = toPlanes(picture, picture.width / small.width);
  const out = new Uint8Array(small.width * small.height * 3);
  for (let i = 0; i < out.length; i++) out[i] = Math.round(255 * planes[i % 3]![Math.floor(i / 3)]!);
  return out;
}

/** The same picture with another grain, so that no two are alike. */
function grained(rgb: Uint8Array, k: number): Uint8Array {
  return rgb.map((v, i) =>
    Math.min(255, Math.max(0, v + ((Math.imul(i + 7919 * k, 2654435761) >>> 30) - 1))),
  );
}

function deep(picture: { width: number; height: number; rgb: Uint8Array }): DeepPicture {
  return { ...large, atSeconds: 0, rgb: Uint16Array.from(picture.rgb, (v) => 257 * v) };
}

function recordingOf(seconds: number): Recording {
  return {
    hash: `xxh128:${String(seconds).padStart(32, "0")}`,
    path: "clip.mov",
    device: "A",
    kind: "camera",
    roles: [],
    probe: {
      durationSeconds: seconds,
      picture: { ...large, rotationDegrees: 0, frameRate: { num: perSecond, den: 1 } },
    },
  } as unknown as Recording;
}
