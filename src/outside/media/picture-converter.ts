import * as av from "node-av/constants";
import { Frame, Rational, type Stream } from "node-av/lib";
import { type Chain, type FilterStep, pictureChain } from "./filter-graph.ts";
import { type FrameFacts, frameFacts, matrixOf } from "./frame-facts.ts";
import { must } from "./library.ts";
import type { TimeLimit } from "./time-limit.ts";

/** RGB of one picture, interleaved, row by row from the top. */
export interface RgbPicture<Values extends Uint8Array | Uint16Array> {
  readonly width: number;
  readonly height: number;
  readonly rgb: Values;
}

/**
 * Turns decoded frames into RGB code values by their own matrix and range, to within rounding, then turns the
 * picture upright. The conversion is zimg's, in floating point: swscale's own is short of white by 1/256.
 */
export class PictureConverter {
  readonly #stream: Stream;
  readonly #rotationDegrees: number;
  readonly #limit: TimeLimit;
  #chain: Chain | undefined;
  #key = "";

  constructor(stream: Stream, rotationDegrees: number, limit: TimeLimit) {
    this.#stream = stream;
    this.#rotationDegrees = rotationDegrees;
    this.#limit = limit;
  }

  /** 16 bits, the frame's own size. */
  async deep(frame: Frame): Promise<RgbPicture<Uint16Array>> {
    const picture = await this.#convert(
      frame,
      { width: frame.width, height: frame.height },
      "gbrp16le",
      "rgb48le",
    );
    const { rgb } = picture;
    return turned(
      { ...picture, rgb: new Uint16Array(rgb.buffer, rgb.byteOffset, rgb.byteLength / 2) },
      this.#rotationDegrees,
    );
  }

  /** 8 bits, as displayed, at most `maxWidth` wide and never enlarged. */
  async small(frame: Frame, maxWidth: number): Promise<RgbPicture<Uint8Array>> {
    const size = fittedSize(frame, this.#rotationDegrees, maxWidth);
    return turned(await this.#convert(frame, size, "gbrp", "rgb24"), this.#rotationDegrees);
  }

  async #convert(
    frame: Frame,
    size: { width: number; height: number },
    planar: string,
    packed: string,
  ): Promise<RgbPicture<Uint8Array>> {
    const facts = frameFacts(frame, this.#stream);
    await this.#prepare(frame, facts, size, planar, packed);
    const { input, sink } = this.#chain!;
    must(
      await this.#limit.guard(input!.buffersrcAddFrame(frame, av.AV_BUFFERSRC_FLAG_KEEP_REF)),
      "convert a picture",
    );
    const out = new Frame();
    out.alloc();
    try {
      must(await this.#limit.guard(sink.buffersinkGetFrame(out)), "convert a picture");
      // toBuffer packs the rows, in memory of its own.
      const bytes = out.toBuffer();
      const rgb = bytes.byteOffset % 2 === 0 ? bytes : Uint8Array.from(bytes);
      return {
        width: size.width,
        height: size.height,
        rgb: new Uint8Array(rgb.buffer, rgb.byteOffset, rgb.byteLength),
      };
    } finally {
      if (!this.#limit.isStuck) out.free();
    }
  }

  /** Frames carry their tags from here on: what the stream left out is filled by rule. */
  async #prepare(
    frame: Frame,
    facts: FrameFacts,
    size: { width: number; height: number },
    planar: string,
    packed: string,
  ): Promise<void> {
    const source = tagFrame(frame, facts);
    const key = JSON.stringify([source, size, packed]);
    if (key === this.#key) return;
    this.free();
    this.#chain = await pictureChain(source, rgbSteps(size, planar, packed));
    this.#key = key;
  }

  free(): void {
    if (!this.#limit.isStuck) this.#chain?.graph.free();
    this.#chain = undefined;
    this.#key = "";
  }
}

/** Writes the matrix and range that hold for a frame into it, and tells what a filter chain must expect. */
export function tagFrame(
  frame: Frame,
  facts: FrameFacts,
): { width: number; height: number; pixelFormat: number; matrix: number; range: number } {
  const matrix = matrixOf(facts);
  const range = facts.colour.fullRange ? av.AVCOL_RANGE_JPEG : av.AVCOL_RANGE_MPEG;
  frame.colorSpace = matrix as av.AVColorSpace;
  frame.colorRange = range;
  // Primaries and transfer do not touch code values; left in, they would send them through linear light.
  frame.colorPrimaries = av.AVCOL_PRI_UNSPECIFIED;
  frame.colorTrc = av.AVCOL_TRC_UNSPECIFIED;
  frame.sampleAspectRatio = new Rational(1, 1);
  return { width: frame.width, height: frame.height, pixelFormat: frame.format, matrix, range };
}

function rgbSteps(size: { width: number; height: number }, planar: string, packed: string): FilterStep[] {
  return [
    [
      "zscale",
      { w: size.width, h: size.height, matrix: "gbr", range: "full", dither: "none", filter: "bilinear" },
    ],
    ["format", { pix_fmts: planar }],
    ["format", { pix_fmts: packed }],
  ];
}

/** Size before it is turned upright, such that it is displayed at most `maxWidth` wide with square pixels. */
export function fittedSize(
  frame: Frame,
  rotationDegrees: number,
  maxWidth: number,
): { width: number; height: number } {
  const aspect = frame.sampleAspectRatio;
  const stretch = aspect.num > 0 && aspect.den > 0 ? aspect.num / aspect.den : 1;
  const isSideways = rotationDegrees % 180 !== 0;
  // Pixels are squared by enlarging neither side: the longer one is what the stream has.
  const width = stretch >= 1 ? frame.width : frame.width * stretch;
  const height = stretch >= 1 ? frame.height / stretch : frame.height;
  const shrink = Math.min(1, maxWidth / (isSideways ? height : width));
  return { width: Math.max(1, Math.round(width * shrink)), height: Math.max(1, Math.round(height * shrink)) };
}

/** Turns a picture clockwise by a multiple of 90°. */
function turned<Values extends Uint8Array | Uint16Array>(
  picture: RgbPicture<Values>,
  clockwiseDegrees: number,
): RgbPicture<Values> {
  const quarters = (((Math.round(clockwiseDegrees / 90) % 4) + 4) % 4) as 0 | 1 | 2 | 3;
  if (quarters === 0) return picture;
  const { width, height, rgb } = picture;
  const out = rgb.slice() as Values;
  const outWidth = quarters === 2 ? width : height;
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const [toX, toY] =
        quarters === 1
          ? [height - 1 - y, x]
          : quarters === 2
            ? [width - 1 - x, height - 1 - y]
            : [y, width - 1 - x];
      const from = 3 * (y * width + x);
      const to = 3 * (toY * outWidth + toX);
      out[to] = rgb[from]!;
      out[to + 1] = rgb[from + 1]!;
      out[to + 2] = rgb[from + 2]!;
    }
  }
  return { width: outWidth, height: quarters === 2 ? height : width, rgb: out };
}
