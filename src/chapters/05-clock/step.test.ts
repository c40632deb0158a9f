import { describe, expect, it } from "vitest";
import { arrayMedia, heldRecording, listeningContext } from "../../../test/helpers/array-media.ts";
import * as room from "../../../test/helpers/simulated-room.ts";
import { clock } from "./clock.ts";

/*
 * A simulated interview whose recorder loses samples half-way. The truth is in the geometry and in what was cut
 * away, so this guards against regressions.
 */
const rate = room.roomRateHz;
const seconds = 60;
const [sitter, lav, asker, camera] = [
  [3.2, 2.4, 1.2],
  [3.2, 2.22, 1.05],
  [1.9, 1.0, 1.25],
  [1.5, 1.1, 1.3],
] as const;

async function heardAt(microphone: room.Point): Promise<Float32Array> {
  const box = { size: [6.1, 4.3, 2.8] as const, reverberationSeconds: 0.4 };
  const answers = room.speechLikeNoise(seconds, 51);
  const questions = room.speechLikeNoise(seconds, 52);
  for (let i = 0; i < answers.length; i++)
    if ((i / rate) % 20 < 5) answers[i] = 0;
    else questions[i] = 0;
  return room.mixed(
    await room.convolved(answers, room.impulseResponse(box, sitter, microphone, 0.25)),
    await room.convolved(questions, room.impulseResponse(box, asker, microphone, 0.25)),
    room.roomNoise(seconds, 53, 0.003),
  );
}

describe("a recorder that loses samples half-way", async () => {
  const near = await heardAt(lav);
  const far = await heardAt(camera);
  const measured = async (lostMs: number) => {
    const whole = room.recorded(far, 1.5, -20, 57);
    const lost = Math.round((lostMs / 1e3) * rate);
    const cut = new Float32Array([...whole.subarray(0, 28 * rate), ...whole.subarray(28 * rate + lost)]);
    const held = [
      heldRecording("A", "A.wav", [near], rate, { roles: ["lav"] }),
      heldRecording("B", "B.wav", [cut], rate),
    ];
    const context = listeningContext(arrayMedia(held));
    const result = await clock.measure({ recordings: held.map((h) => h.recording), master: null }, context);
    return result.recordings[1]!;
  };

  it.each([3, 8])("of %i ms is placed in two pieces, to 0.1 ms", async (lostMs) => {
    const { pieces } = await measured(lostMs);
    expect(pieces).toHaveLength(2);
    expect(Math.abs(pieces![1]!.from - 28)).toBeLessThan(2.5);
    expect(Math.abs(pieces![1]!.offset - pieces![0]!.offset - lostMs / 1e3)).toBeLessThan(1e-4);
  });

  it("has one line where nothing was lost, though two talkers take turns 6 ms apart", async () => {
    expect((await measured(0)).pieces).toBeUndefined();
  });
});
