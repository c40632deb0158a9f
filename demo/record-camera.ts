import { mkdir } from "node:fs/promises";
import { join } from "node:path";
import { setImmediate as nextTurn } from "node:timers/promises";
import type { SoundBlock } from "#documents/media-reader";
import { openMovieWriter } from "#outside/media/movie-writer";
import { writeSoundFile } from "#outside/media/sound-file";
import { type DeviceClock, localToSitting } from "./device-clock.ts";
import { renderCameraLayers } from "./picture/camera-layers.ts";
import { type FrameMaker, frameMaker } from "./picture/frame-maker.ts";
import { type DemoWish, frameRate, planSitting, type SittingPlan, type Take } from "./sitting-plan.ts";
import { type SoundBlocks, scratchSound, soundOfCameraA } from "./sound/recorded-sound.ts";
import { openVoices, sampleRateHz } from "./sound/voices.ts";

/** The day of the demo, so that every run makes the same file. */
export const demoDay = "2025-11-06T10:00:00Z";

type Tell = (done: number, doing: string) => void;

/** Records one camera's files into `folder/cards/`. When `tell` throws, the file in the making is given up. */
export async function recordCamera(
  device: "A" | "B",
  folder: string,
  wish: DemoWish,
  tell: Tell,
): Promise<void> {
  const place = join(folder, "cards", device);
  await mkdir(place, { recursive: true });
  const plan = planSitting(await openVoices(), wish);
  if (wish.soundOnly) return recordSound(device, place, plan, tell);
  const drawing = device === "A" ? "camera A's view of the loft" : "camera B's view of the loft";
  tell(0, drawing);
  let told = 0;
  const layers = renderCameraLayers(device, wish.width, wish.height, wish.seed, (share) => {
    if (share < told + 0.02) return;
    told = share;
    tell(0.4 * share, drawing);
  });
  const maker = frameMaker(layers, plan);
  const takes: readonly Take[] =
    device === "A"
      ? [{ name: "A001", clock: { offset: 0, ratePpm: 0 }, seconds: plan.wish.seconds }]
      : plan.takes;
  const whole = takes.reduce((sum, take) => sum + take.seconds, 0);
  let before = 0;
  for (const take of takes) {
    const path = join(place, take.name + (device === "A" ? ".mov" : ".mp4"));
    const sound = device === "A" ? soundOfCameraA(plan) : scratchSound(plan, take.clock, take.seconds);
    await recordTake(device, path, take.clock, take.seconds, wish, maker, sound, (seconds) =>
      tell(0.4 + (0.6 * (before + seconds)) / whole, `recording ${take.name}`),
    );
    before += take.seconds;
  }
}

async function recordTake(
  device: "A" | "B",
  path: string,
  clock: DeviceClock,
  seconds: number,
  wish: DemoWish,
  maker: FrameMaker,
  sound: SoundBlocks,
  tell: (seconds: number) => void,
): Promise<void> {
  const common = {
    width: wish.width,
    height: wish.height,
    frameRate: { num: frameRate, den: 1 },
    gopFrames: frameRate,
    threads: 1,
    preset: "superfast",
  } as const;
  const writer = await openMovieWriter(path, {
    video:
      device === "A"
        ? {
            ...common,
            codec: "h264",
            pixelFormat: "yuv420p10le",
            // the curve is the camera's own: no code point of ITU-T H.273 names it
            colour: { primaries: 2, transfer: 2, matrix: 1, fullRange: false },
            crf: 22,
          }
        : {
            ...common,
            codec: "h264",
            pixelFormat: "yuv420p",
            colour: { primaries: 1, transfer: 1, matrix: 1, fullRange: false },
            crf: 22,
          },
    sound: { codec: device === "A" ? "pcm_s24le" : "aac", sampleRateHz, channels: device === "A" ? 2 : 1 },
    createdAt: demoDay,
    ...(device === "A" && { timecode: "10:00:00:00" }),
  });
  try {
    const frames = Math.round(seconds * frameRate);
    let soundUntil = 0;
    for (let k = 0; k < frames; k++) {
      const local = k / frameRate;
      // sound goes a little ahead of the picture, so that the two lie side by side in the file
      while (soundUntil < local + 0.5) {
        const next = sound.next();
        if (next.done) break;
        await writer.sound(next.value);
        soundUntil += next.value[0]!.length / sampleRateHz;
      }
      await writer.picture(maker.frame(localToSitting(clock, local), k));
      if (k % 10 === 0) {
        // let a message come in: it may say stop
        await nextTurn();
        tell(local);
      }
    }
    for (const rest of sound) await writer.sound(rest);
    await writer.close();
  } catch (cause) {
    await writer.abandon();
    throw cause;
  }
}

async function recordSound(device: "A" | "B", place: string, plan: SittingPlan, tell: Tell): Promise<void> {
  const takes =
    device === "A"
      ? [{ name: "A001", seconds: plan.wish.seconds, sound: soundOfCameraA(plan) }]
      : plan.takes.map((take) => ({
          name: take.name,
          seconds: take.seconds,
          sound: scratchSound(plan, take.clock, take.seconds),
        }));
  const whole = takes.reduce((sum, take) => sum + take.seconds, 0);
  let before = 0;
  for (const take of takes) {
    const blocks = async function* (): AsyncGenerator<SoundBlock> {
      let firstSample = 0;
      for (const channels of take.sound) {
        yield { firstSample, channels };
        firstSample += channels[0]!.length;
        await nextTurn();
        tell((before + firstSample / sampleRateHz) / whole, `recording ${take.name}`);
      }
    };
    await writeSoundFile(
      join(place, `${take.name}.wav`),
      { sampleRateHz, channels: device === "A" ? 2 : 1, bits: 24 },
      blocks(),
    );
    before += take.seconds;
  }
}
