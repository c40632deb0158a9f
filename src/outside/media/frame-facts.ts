import * as av from "node-av/constants";
import { avGetPixFmtName, type Frame, type Stream } from "node-av/lib";
import type { ColourTags } from "#documents/recording";

/** What a decoded frame says of itself. */
export interface FrameFacts {
  readonly pixelFormat: string;
  readonly width: number;
  readonly height: number;
  readonly colour: ColourTags;
}

/** H.273 code point for "unspecified". */
const unspecified = 2;

/** Reads a frame's tags; where it has none, its stream's. */
export function frameFacts(frame: Frame, stream: Stream): FrameFacts {
  const pixelFormat = avGetPixFmtName(frame.format as av.AVPixelFormat) ?? "unknown";
  const pick = (ofFrame: number, ofStream: number): number => (ofFrame === unspecified ? ofStream : ofFrame);
  const range =
    frame.colorRange === av.AVCOL_RANGE_UNSPECIFIED ? stream.codecpar.colorRange : frame.colorRange;
  return {
    pixelFormat,
    width: frame.width,
    height: frame.height,
    colour: {
      primaries: pick(frame.colorPrimaries, stream.codecpar.colorPrimaries),
      transfer: pick(frame.colorTrc, stream.codecpar.colorTrc),
      matrix: pick(frame.colorSpace, stream.codecpar.colorSpace),
      fullRange: range === av.AVCOL_RANGE_JPEG || pixelFormat.startsWith("yuvj") || isRgb(pixelFormat),
    },
  };
}

function isRgb(pixelFormat: string): boolean {
  return /^(gbr|rgb|bgr|argb|abgr|x2rgb|x2bgr|0rgb|0bgr)/.test(pixelFormat);
}

/** Bits of a code value, from the format's name: `yuv422p10le` has 10, `p010le` has 10, `yuv420p` 8. */
export function bitDepthOf(pixelFormat: string): number {
  const named = /^(?:p[024](\d\d)|x2(?:rgb|bgr)(\d\d)|.*?[a-z](9|1[0-6])(?:le|be)$)/.exec(pixelFormat);
  const depth = named?.[1] ?? named?.[2] ?? named?.[3];
  if (depth !== undefined) return Number(depth);
  return /^(rgb48|bgr48|rgba64|bgra64)/.test(pixelFormat) ? 16 : 8;
}

/**
 * The matrix to decode by. Where the stream names none, or one that code values alone cannot be decoded by:
 * BT.709 from 720 lines up, else BT.601 (common practice).
 */
export function matrixOf(facts: FrameFacts): number {
  if (isRgb(facts.pixelFormat)) return 0;
  // [H.273] Table 4: BT.709, FCC, BT.601-625, BT.601-525, SMPTE 240M, YCgCo, BT.2020 non-constant luminance.
  if ([1, 4, 5, 6, 7, 8, 9].includes(facts.colour.matrix)) return facts.colour.matrix;
  return facts.height >= 720 ? 1 : 6;
}
