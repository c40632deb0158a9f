import * as av from "node-av/constants";
import {
  avChannelLayoutDefault,
  Codec,
  CodecContext,
  FormatContext,
  Frame,
  Packet,
  Rational,
} from "node-av/lib";

/** A MOV with several mono 16-bit tracks of one second, as field recorders and cameras write them. */
export async function writeMonoTracks(
  path: string,
  tracks: number,
  sampleRateHz: number,
  value: (seconds: number, track: number) => number,
): Promise<void> {
  const container = new FormatContext();
  container.allocOutputContext2(null, "mov", path);
  const codec = Codec.findEncoder(av.AV_CODEC_ID_PCM_S16LE)!;
  const contexts = Array.from({ length: tracks }, () => {
    const context = new CodecContext();
    context.allocContext3(codec);
    context.sampleRate = sampleRateHz;
    context.sampleFormat = av.AV_SAMPLE_FMT_S16;
    context.channelLayout = avChannelLayoutDefault(1);
    context.timeBase = new Rational(1, sampleRateHz);
    context.open2Sync(codec, null);
    const stream = container.newStream(null);
    stream.timeBase = context.timeBase;
    stream.codecpar.fromContext(context);
    return context;
  });
  await container.openOutput();
  await container.writeHeader(null);
  const [packet, frame] = [new Packet(), new Frame()];
  packet.alloc();
  const count = 4800;
  for (let at = 0; at < sampleRateHz; at += count) {
    for (const [track, context] of contexts.entries()) {
      frame.alloc();
      frame.nbSamples = count;
      frame.format = av.AV_SAMPLE_FMT_S16;
      frame.sampleRate = sampleRateHz;
      frame.channelLayout = avChannelLayoutDefault(1);
      frame.getBuffer(0);
      const plane = frame.data![0]!;
      const samples = new Int16Array(plane.buffer, plane.byteOffset, count);
      for (let i = 0; i < count; i++) samples[i] = Math.round(32_768 * value((at + i) / sampleRateHz, track));
      frame.pts = BigInt(at);
      context.sendFrameSync(frame);
      frame.unref();
      while (context.receivePacketSync(packet) >= 0) {
        packet.streamIndex = track;
        await container.interleavedWriteFrame(packet);
      }
    }
  }
  await container.writeTrailer();
  await container.closeOutput();
  for (const context of contexts) context.freeContext();
  container.freeContext();
  packet.free();
  frame.free();
}
