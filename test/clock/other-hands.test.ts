import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, expect, it, onTestFinished } from "vitest";
import { clock } from "#clock/clock";
import { type SoundAside, soundAside } from "#clock/sound-aside";
import { type SoundWork, workHere } from "#clock/sound-work";
import { workByHands } from "#clock/work-by-hands";
import type { MediaReader } from "#documents/media-reader";
import { type HeldHands, openHands } from "#jobs/other-hands";
import { openScratchFiles } from "#outside/disk/scratch";
import { loadFft } from "#science/signal/fft";
import { arrayMedia, heldRecording, listeningContext } from "../helpers/array-media.ts";
import * as room from "../helpers/simulated-room.ts";

/* The built threads: what they answer is what this thread answers, to the last bit. */

const program = new URL("../../dist/src/jobs/hand.js", import.meta.url);
const opened: HeldHands[] = [];
afterEach(async () => {
  await Promise.all(opened.splice(0).map((hands) => hands.close()));
});

function hands(signal: AbortSignal = new AbortController().signal): HeldHands {
  const held = openHands(2, signal, program);
  opened.push(held);
  return held;
}

const seconds = 330;
const voice = room.speechLikeNoise(seconds, 7);
const held = [
  heldRecording("A", "A.wav", [voice], room.roomRateHz, { roles: ["lav"] }),
  heldRecording(
    "B",
    "B.wav",
    [room.mixed(room.recorded(voice, 3.2, 41, 300), room.roomNoise(300, 4, 0.02))],
    room.roomRateHz,
  ),
  heldRecording("C", "C.wav", [room.recorded(voice, 11.9, -17, 290)], room.roomRateHz),
];
const recordings = held.map((h) => h.recording);
const media = arrayMedia(held);

it("places long recordings by several threads as by one", async () => {
  const alone = await clock.measure({ recordings, master: null }, listeningContext(media));
  const said: number[] = [];
  const together = await clock.measure(
    { recordings, master: null },
    { ...listeningContext(media), hands: hands(), progress: (done) => said.push(done) },
  );
  expect(together).toEqual(alone);
  expect(together.recordings.map((r) => r.placedBy)).toEqual(["sound", "sound", "sound"]);
  expect(Math.abs(together.recordings[1]!.offset! - 3.2)).toBeLessThan(1e-4);
  expect(said).toEqual(said.toSorted((a, b) => a - b));
});

it("reads sound again for them that was not kept, and what was laid aside as if it were in memory", async () => {
  const compare = async (work: SoundWork, keep: () => boolean | Promise<SoundAside>) => {
    const [a, b] = await Promise.all(
      held.slice(0, 2).map(async ({ recording }) => {
        const microphone = { channel: 1, role: null };
        return work.listen({ recording, microphone, media, heard: () => {} }, await keep());
      }),
    );
    return await work.compare(a!, b!);
  };
  const folder = mkdtempSync(join(tmpdir(), "gemel-hands-"));
  const scratch = openScratchFiles(folder);
  onTestFinished(async () => {
    await scratch.close();
    rmSync(folder, { recursive: true });
  });
  const work = workByHands(hands());
  const before = media.reads.length;
  const again = await compare(work, () => false);
  expect(media.reads.length - before).toBeGreaterThan(40);
  const here = workHere(await loadFft(), async () => {});
  expect(again).toEqual(await compare(here, () => false));
  expect(again.pieces).toHaveLength(1);
  const laid = await compare(work, async () => soundAside(await scratch.open()));
  expect(laid).toEqual(await compare(here, () => true));
  expect(laid).toEqual(await compare(here, async () => soundAside(await scratch.open())));
});

it("hands on what a reader throws, and goes on with the next", async () => {
  const broken: MediaReader = {
    ...media,
    async *sound(recording, wish) {
      let blocks = 0;
      for await (const block of media.sound(recording, wish)) {
        if (++blocks > 3) throw new Error("the drive is gone");
        yield block;
      }
    },
  };
  const work = workByHands(hands());
  const listen = (from: MediaReader) =>
    work.listen(
      {
        recording: recordings[0]!,
        microphone: { channel: 1, role: null },
        media: from,
        heard: () => {},
      },
      true,
    );
  await expect(listen(broken)).rejects.toThrow("the drive is gone");
  expect((await listen(media)).seconds).toBe(seconds);
});

it("stops in the middle when it is told to", async () => {
  const stop = new AbortController();
  const asked = hands(stop.signal).run("hear", { keep: true }, async () => {
    stop.abort(new Error("stopped"));
    return 16_000;
  });
  await expect(asked).rejects.toThrow("stopped");
});

it("says why work failed that no thread knows", async () => {
  await expect(hands().run("unheard of", {}, async () => null)).rejects.toThrow(/not a function/);
});
