import * as av from "node-av/constants";
import { Frame, Rational } from "node-av/lib";
import type { FrameRate } from "#documents/recording";
import { type Chain, type FilterStep, pictureChain } from "./filter-graph.ts";
import { frameFacts } from "./frame-facts.ts";
import { must } from "./library.ts";
import { explainNothingDecodes, explainReading } from "./media-errors.ts";
import { tagFrame } from "./picture-converter.ts";
import { PictureCursor } from "./picture-cursor.ts";
import { explainLut, lutSteps, uprightSteps } from "./picture-steps.ts";
import { rotationDegreesOf } from "./rotation.ts";
import { readTimeline, type Timeline } from "./timeline.ts";

/** A stretch of one recording in a program; times are its local times, seconds. */
export interface ProgramClip {
  /** Where the file lies. */
  readonly path: string;
  readonly sourceStart: number;
  readonly sourceEnd: number;
  /** Paths of .cube files, applied in order to full-range RGB code values. */
  readonly luts: readonly string[];
  /** 1 or more: enlarged about the centre. */
  readonly scale: number;
}

export interface ProgramSize {
  readonly width: number;
  readonly height: number;
  readonly frameRate: FrameRate;
}

/** Aspects closer than this are stretched rather than boxed. */
const sameAspect = 0.01;

/**
 * Frame numbers at which each clip begins and the last ends: cumulative program time rounded to frames, so that
 * the picture never drifts from the sound by more than half a frame.
 */
export function clipBounds(
  clips: readonly Pick<ProgramClip, "sourceStart" | "sourceEnd">[],
  rate: FrameRate,
): number[] {
  let time = 0;
  const bounds = [0];
  for (const clip of clips) {
    time += clip.sourceEnd - clip.sourceStart;
    bounds.push(Math.round((time * rate.num) / rate.den));
  }
  return bounds;
}

/**
 * The frames of a program in order, conformed to its size and rate, as 4:2:0 BT.709 limited range. For each
 * program frame the source frame is the one on screen in the middle of the time that the frame is shown.
 * A frame that is yielded is lent until the next is asked for.
 */
export async function* programFrames(
  clips: readonly ProgramClip[],
  size: ProgramSize,
  sources: ProgramSources,
): AsyncGenerator<Frame> {
  const bounds = clipBounds(clips, size.frameRate);
  const frameSeconds = size.frameRate.den / size.frameRate.num;
  const out = new Frame();
  out.alloc();
  let reading = "";
  try {
    let clipTime = 0;
    for (const [i, clip] of clips.entries()) {
      reading = clip.path;
      const source = await sources.open(clip.path);
      let shownAt: number | undefined;
      for (let n = bounds[i]!; n < bounds[i + 1]!; n++) {
        const middle = clip.sourceStart + (n + 0.5) * frameSeconds - clipTime;
        // Rounding to frames must not let in a picture that the cut leaves out.
        const lent = await source.cursor.at(
          Math.min(middle, clip.sourceEnd - source.cursor.graceSeconds * 1.01),
        );
        if (!lent) throw explainNothingDecodes(clip.path);
        if (lent.atSeconds !== shownAt) {
          out.unref();
          await source.conform(lent.frame, clip, size, out);
          shownAt = lent.atSeconds;
        }
        yield out;
      }
      clipTime += clip.sourceEnd - clip.sourceStart;
    }
  } catch (cause) {
    throw explainReading(reading, cause);
  } finally {
    if (!sources.isStuck()) out.free();
  }
}

function programSeconds(clips: readonly ProgramClip[], path: string): number {
  return clips
    .filter((clip) => clip.path === path)
    .reduce((sum, clip) => sum + clip.sourceEnd - clip.sourceStart, 0);
}

/** The recordings that a program draws on, each opened once. */
export class ProgramSources {
  readonly #clips: readonly ProgramClip[];
  readonly #opened = new Map<string, Source>();

  /** @param clips - All that will be drawn, for the time limits. */
  constructor(clips: readonly ProgramClip[]) {
    this.#clips = clips;
  }

  async open(path: string): Promise<Source> {
    const source = this.#opened.get(path) ?? (await Source.open(path, programSeconds(this.#clips, path)));
    this.#opened.set(path, source);
    return source;
  }

  isStuck(): boolean {
    return [...this.#opened.values()].some((source) => source.cursor.media.limit.isStuck);
  }

  async close(): Promise<void> {
    for (const source of this.#opened.values()) await source.close();
    this.#opened.clear();
  }
}

/** One recording that the program draws on, with a filter chain for each look that it is given. */
class Source {
  readonly cursor: PictureCursor;
  readonly #rotationDegrees: number;
  readonly #chains = new Map<string, Chain>();

  private constructor(cursor: PictureCursor) {
    this.cursor = cursor;
    this.#rotationDegrees = rotationDegreesOf(cursor.media.picture!);
  }

  static async open(path: string, seconds: number): Promise<Source> {
    const timeline: Timeline = await readTimeline(path);
    return new Source(await PictureCursor.open(path, timeline, seconds));
  }

  async conform(frame: Frame, clip: ProgramClip, size: ProgramSize, out: Frame): Promise<void> {
    const { limit, picture } = this.cursor.media;
    const aspect = frame.sampleAspectRatio;
    const pixelAspect = aspect.num > 0 && aspect.den > 0 ? aspect.num / aspect.den : 1;
    const input = tagFrame(frame, frameFacts(frame, picture!));
    const key = JSON.stringify([input, clip.luts, clip.scale]);
    let chain = this.#chains.get(key);
    if (!chain) {
      const steps = conformSteps(input, pixelAspect, this.#rotationDegrees, clip, size);
      chain = await pictureChain(input, steps).catch((cause: unknown) => {
        throw explainLut(clip.luts, cause);
      });
      this.#chains.set(key, chain);
    }
    must(
      await limit.guard(chain.input!.buffersrcAddFrame(frame, av.AV_BUFFERSRC_FLAG_KEEP_REF)),
      "conform a picture",
    );
    out.alloc();
    must(await limit.guard(chain.sink.buffersinkGetFrame(out)), "conform a picture");
    out.colorPrimaries = av.AVCOL_PRI_BT709;
    out.colorTrc = av.AVCOL_TRC_BT709;
    out.colorSpace = av.AVCOL_SPC_BT709;
    out.colorRange = av.AVCOL_RANGE_MPEG;
    out.sampleAspectRatio = new Rational(1, 1);
  }

  async close(): Promise<void> {
    if (!this.cursor.media.limit.isStuck) for (const chain of this.#chains.values()) chain.graph.free();
    this.#chains.clear();
    await this.cursor.close();
  }
}

function conformSteps(
  input: { readonly width: number; readonly height: number },
  pixelAspect: number,
  rotationDegrees: number,
  clip: ProgramClip,
  size: ProgramSize,
): FilterStep[] {
  const isSideways = rotationDegrees % 180 !== 0;
  const upright = isSideways
    ? { width: input.height, height: input.width * pixelAspect }
    : { width: input.width * pixelAspect, height: input.height };
  const ratio = upright.width / upright.height / (size.width / size.height);
  const isBoxed = Math.abs(ratio - 1) > sameAspect;
  const even = (value: number): number => 2 * Math.round(value / 2);
  const inner = {
    width: isBoxed && ratio < 1 ? even(size.width * ratio) : size.width,
    height: isBoxed && ratio > 1 ? even(size.height / ratio) : size.height,
  };
  const crop: FilterStep[] = [];
  if (clip.scale > 1) {
    // Whole chroma samples: 4:2:0 has one for every two pixels either way.
    const frame = isSideways ? { width: input.height, height: input.width } : input;
    const [w, h] = [even(frame.width / clip.scale), even(frame.height / clip.scale)];
    const offset = (all: number, part: number): number => 2 * Math.round((all - part) / 4);
    crop.push(["crop", { w, h, x: offset(frame.width, w), y: offset(frame.height, h) }]);
  }
  const resize: FilterStep[] = [
    ["zscale", { w: inner.width, h: inner.height, filter: "bicubic", dither: "none" }],
  ];
  const shrinks = inner.width * inner.height < (upright.width * upright.height) / clip.scale ** 2;
  return [
    ...uprightSteps(rotationDegrees),
    ...crop,
    // LUTs see the fewer pixels.
    ...(shrinks ? [...resize, ...lutSteps(clip.luts)] : [...lutSteps(clip.luts), ...resize]),
    [
      "zscale",
      {
        matrix: "709",
        range: "limited",
        dither: clip.luts.length > 0 ? "ordered" : "none",
        filter: "bilinear",
      },
    ],
    ["format", { pix_fmts: "yuv420p" }],
    ...(isBoxed
      ? [["pad", { w: size.width, h: size.height, x: "(ow-iw)/2", y: "(oh-ih)/2", color: "black" }] as const]
      : []),
  ];
}
