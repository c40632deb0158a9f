import { readFile } from "node:fs/promises";
import * as av from "node-av/constants";
import { Codec, CodecContext, Frame, Packet } from "node-av/lib";
import { pictureChain } from "#outside/media/filter-graph";

/** A JPEG or PNG file as 8-bit RGB, by the same library that writes it. */
export async function readPicture(path: string): Promise<{ width: number; height: number; rgb: Uint8Array }> {
  const bytes = await readFile(path);
  const isPng = bytes[0] === 0x89;
  const codec = Codec.findDecoder(isPng ? av.AV_CODEC_ID_PNG : av.AV_CODEC_ID_MJPEG)!;
  const context = new CodecContext();
  context.allocContext3(codec);
  const [packet, frame, out] = [new Packet(), new Frame(), new Frame()];
  packet.alloc();
  frame.alloc();
  out.alloc();
  await context.open2(codec, null);
  packet.data = bytes;
  await context.sendPacket(packet);
  await context.sendPacket(null);
  if ((await context.receiveFrame(frame)) < 0) throw new Error(`${path} is no picture`);
  // JFIF: BT.601 matrix, full range.
  const matrix = isPng ? 0 : 5;
  frame.colorSpace = matrix as av.AVColorSpace;
  frame.colorRange = av.AVCOL_RANGE_JPEG;
  frame.colorPrimaries = av.AVCOL_PRI_UNSPECIFIED;
  frame.colorTrc = av.AVCOL_TRC_UNSPECIFIED;
  const { width, height } = frame;
  const chain = await pictureChain(
    { width, height, pixelFormat: frame.format, matrix, range: av.AVCOL_RANGE_JPEG },
    [
      ...(isPng
        ? []
        : [
            ["zscale", { matrix: "gbr", range: "full", dither: "none" }] as const,
            ["format", { pix_fmts: "gbrp" }] as const,
          ]),
      ["format", { pix_fmts: "rgb24" }],
    ],
  );
  await chain.input!.buffersrcAddFrame(frame);
  await chain.sink.buffersinkGetFrame(out);
  const rgb = Uint8Array.from(out.toBuffer());
  for (const one of [packet, frame, out]) one.free();
  context.freeContext();
  chain.graph.free();
  return { width, height, rgb };
}
