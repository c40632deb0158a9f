import { beforeAll, describe, expect, it } from "vitest";
import type { ClockResult } from "#documents/chapter-results";
import type { SmallPicture } from "#documents/media-reader";
import {
  arrayMedia,
  type HeldRecording,
  heldRecording,
  listeningContext,
} from "../../../test/helpers/array-media.ts";
import {
  cameraAt,
  type Interview,
  lavAt,
  levelOf,
  simulatedInterview,
  sitter,
  wayToCamera,
} from "../../../test/helpers/interview.ts";
import * as room from "../../../test/helpers/simulated-room.ts";
import { clock } from "./clock.ts";

const rate = room.roomRateHz;
const measure = (
  held: readonly HeldRecording[],
  microphoneDistances?: Readonly<Record<string, number>>,
): Promise<ClockResult> =>
  clock.measure(
    {
      recordings: held.map((h) => h.recording),
      master: null,
      ...(microphoneDistances && { microphoneDistances }),
    },
    listeningContext(arrayMedia(held)),
  );
const wayTo = (microphone: room.Point) => room.distance(sitter, microphone) / room.speedOfSound;
const find = (result: ClockResult, code: string) => result.findings.find((f) => f.code === `clock.${code}`);

/** 25 pictures a second of a grey wall, white in a corner for three frames from local time `flashAt` on. */
function flashing(seconds: number, flashAt: number): SmallPicture[] {
  const [width, height] = [64, 36];
  const first = Math.ceil(flashAt * 25 - 1e-6);
  return Array.from({ length: seconds * 25 }, (_, k) => {
    const rgb = new Uint8Array(3 * width * height).fill(70);
    if (k >= first && k < first + 3)
      for (let y = 8; y < 20; y++) rgb.fill(230, 3 * (y * width + 10), 3 * (y * width + 30));
    return { atSeconds: k / 25, width, height, rgb };
  });
}

describe("claps", () => {
  let sound: Interview;
  const clapAt = 12.345;
  beforeAll(async () => {
    sound = await simulatedInterview(40, 31, { silences: [[11.7, 13]], claps: [clapAt], snrDb: 30 });
  });
  const a = () => heldRecording("A", "A.mov", [sound.lav], rate, { roles: ["lav"] });
  const b = (more: { pictures?: readonly SmallPicture[] } = {}) =>
    heldRecording("B", "B.mp4", [room.recorded(sound.camera, 2, 30, 35)], rate, more);

  it("are found where they are, to a millisecond in each file, and no consonant is one", async () => {
    const result = await measure([a(), b()]);
    expect(result.claps).toHaveLength(1);
    const [clap] = result.claps;
    expect(Math.abs(clap!.at - clapAt - wayTo(lavAt))).toBeLessThan(1e-3);
    const inB = clap!.heardBy.find((h) => h.hash === "xxh128:B.mp4")!;
    expect(Math.abs(inB.localTime - (clapAt - 2) - wayTo(cameraAt))).toBeLessThan(1.5e-3);
    // 10.345 s after B's first frame at 25 a second.
    expect(inB.frame).toBe(258);
    // One still a camera, of that very frame.
    expect(clap!.heardBy.map(({ still }) => still)).toEqual(["clap-1-1-A.jpg", "clap-1-2-B.jpg"]);
    expect(find(result, "clap-agrees")!.says).toMatch(
      /^Camera B hears the clap within (\d\.\d|0\.\d\d) ms of where its place by sound expects it\.$/,
    );
  });

  it("are not found in talk alone", async () => {
    for (const seed of [3, 4, 5]) {
      const talk = await simulatedInterview(40, seed, { snrDb: 30 });
      const result = await measure([
        heldRecording("A", "A.mov", [talk.lav], rate, { roles: ["lav"] }),
        heldRecording("B", "B.mp4", [talk.camera], rate),
      ]);
      expect(result.claps).toEqual([]);
    }
  });

  it("leave the picture where the distance puts it, if it shows the flash within a frame", async () => {
    const result = await measure([a(), b({ pictures: flashing(35, clapAt - 2) })]);
    const row = result.recordings[1]!;
    expect(row.picture).toMatchObject({ by: "usual", metres: 2 });
    expect(row.pictureOffset! - row.offset!).toBeCloseTo((2 - 0.2) / 343.21, 9);
    expect(find(result, "picture-checked")!.says).toBe(
      "Camera B shows the flash at 0:12 within a frame of where it was heard.",
    );
  });

  it("are one note of several cameras that hear them, and one of several that show them, well", async () => {
    // A third camera's microphone, with a hiss of its own.
    const third = room.mixed(sound.camera, room.roomNoise(40, 77, levelOf(sound.camera) * 10 ** (-30 / 20)));
    const result = await measure([
      heldRecording("A", "A.mov", [sound.lav], rate, { roles: ["lav"], pictures: flashing(40, clapAt) }),
      b({ pictures: flashing(35, clapAt - 2) }),
      heldRecording("C", "C.mp4", [room.recorded(third, 2, 30, 36)], rate),
    ]);
    const notes = (code: string) => result.findings.filter((f) => f.code === `clock.${code}`);
    expect(notes("picture-checked").map(({ says }) => says)).toEqual([
      "Camera A and camera B show the flash at 0:12 within a frame of where it was heard.",
    ]);
    const [heard, ...more] = notes("clap-agrees");
    expect(more).toEqual([]);
    expect(heard!.says).toMatch(
      /^Camera B and camera C hear the clap within (\d\.\d|0\.\d\d) ms of where their places by sound expect it\.$/,
    );
  });

  it("move the picture where it comes frames after its own sound", async () => {
    // Picture 120 ms late in the file.
    const result = await measure([a(), b({ pictures: flashing(35, clapAt - 2 + 0.12) })]);
    const row = result.recordings[1]!;
    expect(row.picture!.by).toBe("slate");
    // Local picture time of the event less the event: off by no more than a frame.
    // The frames around it can be looked at: before, the first that shows it, after.
    const { seenAt, stills } = row.picture!.slate!;
    expect(stills!.map(({ at }) => Number((at - seenAt).toFixed(3)))).toEqual([-0.04, 0, 0.04]);
    const event = row.pictureOffset! + (clapAt - 2 + 0.12) * (1 + row.ratePpm! * 1e-6);
    expect(Math.abs(event - clapAt)).toBeLessThan(0.04);
    expect(find(result, "picture-apart")!.says).toMatch(
      /^Camera B's picture comes 1[2-5]\d ms after its sound, by the flash at 0:12; the picture is moved by that\.$/,
    );
  });

  it("leave room for what a person says of the distance", async () => {
    const result = await measure([a(), b()], { B: 3.5 });
    const row = result.recordings[1]!;
    expect(row.pictureOffset! - row.offset!).toBeCloseTo((3.5 - 0.2) / 343.21, 9);
    expect(row.picture).toEqual({ by: "said", metres: 3.5 });
    expect(find(result, "picture-distance-said")!.says).toBe(
      "The sound's way is taken off the picture by the distances that were set: camera B 3.5 m, 9.6 ms.",
    );
  });
});

describe("placing by claps", () => {
  let sound: Interview;
  let quiet: Interview;
  const claps = [3.1, 5.87];
  beforeAll(async () => {
    sound = await simulatedInterview(40, 33, { silences: [[0, 8]], claps, snrDb: 30 });
    // The same claps, and nothing said at all.
    quiet = await simulatedInterview(10, 33, { silences: [[0, 10]], claps, snrDb: 20 });
  });
  const a = () => heldRecording("A", "A.mov", [sound.lav], rate, { roles: ["lav"] });

  it("puts a clip without speech on two claps", async () => {
    const clip = room.recorded(quiet.camera, 1.5, 0, 6);
    // Its microphone hears far less than the claps' correlation needs: noise of its own over all but their tops.
    const result = await measure([a(), heldRecording("C", "C.mp4", [clip], rate)]);
    const row = result.recordings[1]!;
    expect(["slate", "sound"]).toContain(row.placedBy);
    expect(Math.abs(row.offset! - 1.5 + wayToCamera)).toBeLessThan(2e-3);
  });
});
