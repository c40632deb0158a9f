import { writeFile } from "node:fs/promises";
import { extname } from "node:path";
import * as av from "node-av/constants";
import { Codec, CodecContext, Frame, Packet, Rational } from "node-av/lib";
import { type FilterStep, pictureChain } from "./filter-graph.ts";
import { frameFacts } from "./frame-facts.ts";
import { must } from "./library.ts";
import { explainNothingDecodes, explainReading, explainWriting } from "./media-errors.ts";
import { fittedSize, tagFrame } from "./picture-converter.ts";
import { PictureCursor } from "./picture-cursor.ts";
import { explainLut, lutSteps, uprightSteps } from "./picture-steps.ts";
import { rotationDegreesOf } from "./rotation.ts";
import { readTimeline } from "./timeline.ts";
import { dropPart, keepWhole, partNameOf, prepareFolderOf } from "./whole-file.ts";

/** A picture in memory: R, G, B interleaved bytes, row by row from the top. */
export interface PlainPicture {
  readonly width: number;
  readonly height: number;
  readonly rgb: Uint8Array;
}

export interface PictureFileOptions {
  /** Of a JPEG, 1 to 100. Default 90. */
  readonly quality?: number;
}

const defaultQuality = 90;

/**
 * Writes a picture: JPEG (JFIF, 4:4:4), or PNG where the name ends so. It appears whole or not at all.
 *
 * @throws ExplainedError `DISK_FULL`, `DISK_WRITE_FAILED`.
 */
export async function writePictureFile(
  path: string,
  picture: PlainPicture,
  options: PictureFileOptions = {},
): Promise<void> {
  if (picture.rgb.length !== 3 * picture.width * picture.height) {
    throw new TypeError(
      `${picture.rgb.length} bytes are no RGB picture of ${picture.width} by ${picture.height}`,
    );
  }
  const frame = new Frame();
  frame.alloc();
  try {
    frame.format = av.AV_PIX_FMT_RGB24;
    frame.width = picture.width;
    frame.height = picture.height;
    must(frame.getBuffer(0), "picture buffer");
    const rowBytes = 3 * picture.width;
    const memory = frame.data![0]!;
    const stride = frame.linesize[0]!;
    for (let y = 0; y < picture.height; y++) {
      memory.set(picture.rgb.subarray(y * rowBytes, (y + 1) * rowBytes), y * stride);
    }
    frame.pts = 0n;
    await writeFrame(path, frame, { matrix: 0, range: av.AVCOL_RANGE_JPEG }, [], options);
  } finally {
    frame.free();
  }
}

/**
 * Writes the frame of a recording that is on screen at a local time, upright, with square pixels, through LUTs.
 *
 * @param wish - `maxWidth` in pixels, never enlarged; `luts` paths of .cube files, applied in order to full-range
 *   RGB code values, tetrahedrally.
 * @returns The local time at which that frame appears.
 * @throws ExplainedError as the reader's own, `LUT_INVALID`, `DISK_FULL`, `DISK_WRITE_FAILED`.
 */
export async function writeStill(
  path: string,
  recordingPath: string,
  atSeconds: number,
  wish: { readonly maxWidth: number; readonly luts?: readonly string[] } & PictureFileOptions,
): Promise<{ atSeconds: number }> {
  const cursor = await PictureCursor.open(recordingPath, await readTimeline(recordingPath), 0);
  try {
    const lent = await cursor.at(atSeconds);
    if (!lent) throw explainNothingDecodes(recordingPath);
    const stream = cursor.media.picture!;
    const rotation = rotationDegreesOf(stream);
    const size = fittedSize(lent.frame, rotation, wish.maxWidth);
    const tags = tagFrame(lent.frame, frameFacts(lent.frame, stream));
    const luts = wish.luts ?? [];
    await writeFrame(
      path,
      lent.frame,
      tags,
      [
        ...lutSteps(luts),
        ["zscale", { w: size.width, h: size.height, filter: "bicubic", dither: "none" }],
        ...uprightSteps(rotation),
      ],
      wish,
    ).catch((cause: unknown) => {
      throw explainReading(recordingPath, explainLut(luts, cause));
    });
    return { atSeconds: lent.atSeconds };
  } finally {
    await cursor.close();
  }
}

async function writeFrame(
  path: string,
  frame: Frame,
  tags: { readonly matrix: number; readonly range: number },
  steps: readonly FilterStep[],
  options: PictureFileOptions,
): Promise<void> {
  const isPng = extname(path).toLowerCase() === ".png";
  const source = { width: frame.width, height: frame.height, pixelFormat: frame.format, ...tags };
  const last: FilterStep[] = isPng
    ? [
        ["zscale", { matrix: "gbr", range: "full", dither: "none", filter: "bilinear" }],
        ["format", { pix_fmts: "gbrp" }],
        ["format", { pix_fmts: "rgb24" }],
      ]
    : // JFIF 1.02: BT.601 matrix, full range.
      [
        ...(tags.matrix === 0 ? [["format", { pix_fmts: "gbrp" }] as const] : []),
        ["zscale", { matrix: "470bg", range: "full", dither: "none", filter: "bilinear" }],
        ["format", { pix_fmts: "yuv444p" }],
      ];
  const chain = await pictureChain(source, [...steps, ...last]);
  const out = new Frame();
  out.alloc();
  try {
    must(await chain.input!.buffersrcAddFrame(frame, av.AV_BUFFERSRC_FLAG_KEEP_REF), "convert a picture");
    must(await chain.sink.buffersinkGetFrame(out), "convert a picture");
    const bytes = await compress(out, isPng ? "png" : "mjpeg", options.quality ?? defaultQuality);
    try {
      await prepareFolderOf(path);
      await writeFile(partNameOf(path), bytes);
      await keepWhole(path);
    } catch (cause) {
      await dropPart(path);
      throw explainWriting(path, cause);
    }
  } finally {
    out.free();
    chain.graph.free();
  }
}

async function compress(frame: Frame, encoder: "png" | "mjpeg", quality: number): Promise<Uint8Array> {
  const codec = Codec.findEncoderByName(encoder as av.FFEncoderCodec);
  if (!codec) throw new Error(`this build of the media library has no encoder ${encoder}`);
  const context = new CodecContext();
  context.allocContext3(codec);
  const packet = new Packet();
  packet.alloc();
  try {
    context.width = frame.width;
    context.height = frame.height;
    context.pixelFormat = frame.format as av.AVPixelFormat;
    context.timeBase = new Rational(1, 25);
    if (encoder === "mjpeg") {
      context.colorRange = av.AVCOL_RANGE_JPEG;
      context.colorSpace = av.AVCOL_SPC_BT470BG;
      // The encoder's scale runs from 1, the finest, to 31.
      const scale = Math.max(1, Math.min(31, Math.round(1 + (100 - quality) * 0.3)));
      context.qMin = scale;
      context.qMax = scale;
    }
    must(await context.open2(codec, null), "open the picture encoder");
    frame.pts = 0n;
    must(await context.sendFrame(frame), "encode a picture");
    must(await context.sendFrame(null), "encode a picture");
    must(await context.receivePacket(packet), "encode a picture");
    return Uint8Array.from(packet.data!);
  } finally {
    context.freeContext();
    packet.free();
  }
}
