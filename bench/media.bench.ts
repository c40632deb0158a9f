import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { AVERROR_EOF } from "node-av/constants";
import { Frame } from "node-av/lib";
import type { SoundBlock } from "#documents/media-reader";
import type { Recording } from "#documents/recording";
import { sourceChain } from "#outside/media/filter-graph";
import { openMediaReader } from "#outside/media/media-reader";
import type { MovieFormat } from "#outside/media/movie-format";
import { openMovieWriter } from "#outside/media/movie-writer";
import { probeRecording } from "#outside/media/probe";
import { renderCut } from "#outside/media/render-cut";
import { writeSoundFile } from "#outside/media/sound-file";
import type { BenchRow } from "./row.ts";

const pictureSeconds = 8;
const soundMinutes = 3;
const soundRateHz = 48_000;

/** Reading and rendering media: seconds of media a second, beside FFmpeg's own graphs and real time. */
export default async function* mediaBench(): AsyncIterable<BenchRow> {
  const folder = await mkdtemp(join(tmpdir(), "gemel-bench-media-"));
  try {
    yield* soundRows(folder);
    yield* pictureRows(folder);
  } finally {
    await rm(folder, { recursive: true });
  }
}

async function* soundRows(folder: string): AsyncIterable<BenchRow> {
  const path = join(folder, "sound.mp4");
  const writer = await openMovieWriter(path, {
    sound: { codec: "aac", sampleRateHz: soundRateHz, channels: 2 },
  });
  for (const block of voiceLike(soundMinutes * 60))
    await writer.sound([block.channels[0]!, block.channels[0]!]);
  await writer.close();
  const seconds = soundMinutes * 60;
  const reader = openMediaReader((recording) => recording.path);
  const recording = await asRecording(path);
  const ours = await timed(async () => {
    for await (const _ of reader.sound(recording, { sampleRateHz: 8000, channels: "mix" }));
  });
  const theirs = await timed(() => drain(path));
  yield {
    chapter: "media",
    what: `sound of ${soundMinutes} min AAC stereo to 8 kHz mono, placed on the clock`,
    unit: "x real time",
    ours: seconds / ours,
    reference: "FFmpeg's own graph, not placed",
    theirs: seconds / theirs,
  };
}

async function* pictureRows(folder: string): AsyncIterable<BenchRow> {
  const paths = [join(folder, "a.mov"), join(folder, "b.mp4")] as const;
  const common = {
    width: 1280,
    height: 720,
    frameRate: { num: 25, den: 1 },
    colour: { primaries: 1, transfer: 1, matrix: 1, fullRange: false },
    threads: 0,
  };
  await writeScene(paths[0], { video: { ...common, codec: "h264", pixelFormat: "yuv422p10le" } });
  await writeScene(paths[1], { video: { ...common, codec: "h264", pixelFormat: "yuv420p" } });
  const reader = openMediaReader((recording) => recording.path);
  const recording = await asRecording(paths[1]);
  const keys = await timed(async () => {
    for await (const _ of reader.keyPictures(recording, { maxWidth: 640 }));
  });
  const all = await timed(async () => {
    for await (const _ of reader.pictures(recording, {
      maxWidth: 640,
      startSeconds: 0,
      endSeconds: 1e6,
      perSecond: 1000,
    }));
  });
  yield {
    chapter: "media",
    what: `key pictures of ${pictureSeconds} s 720p25 H.264 at 640 wide`,
    unit: "x real time",
    ours: pictureSeconds / keys,
    reference: "every picture of the same file",
    theirs: pictureSeconds / all,
  };

  const soundPath = join(folder, "dialogue.wav");
  await writeSoundFile(
    soundPath,
    { sampleRateHz: soundRateHz, channels: 1, bits: 24 },
    voiceLike(pictureSeconds),
  );
  const lut = join(folder, "look.cube");
  await writeFile(lut, warmLut(33));
  const clips = Array.from({ length: 4 }, (_, i) => ({
    path: paths[i % 2]!,
    sourceStart: (i * pictureSeconds) / 4,
    sourceEnd: ((i + 1) * pictureSeconds) / 4,
    luts: [lut],
    scale: i === 3 ? 1.2 : 1,
  }));
  const rendered = await timed(async () => {
    await renderCut(join(folder, "cut.mp4"), clips, soundPath, {
      width: 1280,
      height: 720,
      frameRate: { num: 25, den: 1 },
    });
  });
  yield {
    chapter: "media",
    what: `render of ${pictureSeconds} s 720p25 from 10-bit and 8-bit sources, each through a LUT`,
    unit: "x real time",
    ours: pictureSeconds / rendered,
    reference: "real time",
    theirs: 1,
  };
}

async function timed(work: () => Promise<void>): Promise<number> {
  const startedAt = performance.now();
  await work();
  return (performance.now() - startedAt) / 1000;
}

/** The same work without placing: one library call for each block. */
async function drain(path: string): Promise<void> {
  const { graph, sink } = await sourceChain(
    [
      ["amovie", { filename: path }],
      ["aresample", { sample_rate: 8000 }],
      ["aformat", { sample_fmts: "fltp", channel_layouts: "mono" }],
      ["asetnsamples", { nb_out_samples: 65_536, pad: 0 }],
    ],
    "abuffersink",
  );
  const frame = new Frame();
  for (;;) {
    frame.alloc();
    if ((await sink.buffersinkGetFrame(frame)) === AVERROR_EOF) break;
    frame.unref();
  }
  frame.free();
  graph.free();
}

function* voiceLike(seconds: number): Generator<SoundBlock> {
  for (let second = 0; second < seconds; second++) {
    const channel = Float32Array.from({ length: soundRateHz }, (_, i) => {
      const t = second + i / soundRateHz;
      return (
        0.2 * Math.sin(2 * Math.PI * 140 * t) * Math.sin(2 * Math.PI * 2.3 * t) +
        0.02 * Math.sin(t * t * 9000)
      );
    });
    yield { firstSample: second * soundRateHz, channels: [channel] };
  }
}

/** A drifting picture with grain, so that encoder and decoder have real work. */
async function writeScene(path: string, format: MovieFormat): Promise<void> {
  const writer = await openMovieWriter(path, format);
  const { width, height, pixelFormat } = format.video!;
  const is10 = pixelFormat === "yuv422p10le";
  const plane = (length: number): Uint8Array | Uint16Array =>
    is10 ? new Uint16Array(length) : new Uint8Array(length);
  const luma = plane(width * height);
  const chroma = plane((width / 2) * (is10 ? height : height / 2)).fill(is10 ? 520 : 130);
  const one = is10 ? 4 : 1;
  let grain = 1;
  for (let n = 0; n < pictureSeconds * 25; n++) {
    for (let y = 0, at = 0; y < height; y++) {
      for (let x = 0; x < width; x++, at++) {
        grain = (Math.imul(grain, 1_664_525) + 1_013_904_223) | 0;
        luma[at] = one * (60 + (((x + 3 * n) ^ y) & 96) + ((x * y) >> 13)) + ((grain >>> 28) & 3);
      }
    }
    await writer.picture([luma, chroma, chroma]);
  }
  await writer.close();
}

function warmLut(size: number): string {
  const rows = [`LUT_3D_SIZE ${size}`];
  for (let b = 0; b < size; b++) {
    for (let g = 0; g < size; g++) {
      for (let r = 0; r < size; r++)
        rows.push([r, g, b].map((v, c) => ((v / (size - 1)) ** (1 - 0.1 * (1 - c))).toFixed(6)).join(" "));
    }
  }
  return `${rows.join("\n")}\n`;
}

async function asRecording(path: string): Promise<Recording> {
  return { hash: "", path, device: "A", kind: "camera", roles: [], probe: await probeRecording(path) };
}
