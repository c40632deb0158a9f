import { describe, expect, it } from "vitest";
import { roomFigures } from "#room/room";
import { arrayMedia, heldRecording, listeningContext } from "../../../test/helpers/array-media.ts";
import * as room from "../../../test/helpers/simulated-room.ts";
import { stagedRoom } from "../../../test/helpers/staged-room.ts";
import { clock } from "./clock.ts";
import { microphoneDistance, type PlannedDistances, plannedDistances } from "./picture.ts";

const planned: PlannedDistances = { cameras: { A: 2.4, B: 3.1 }, lav: 0.25, boom: 0.45 };
const silence = [new Float32Array(16_000)];
const cameraB = heldRecording("B", "B.mp4", silence, 16_000).recording;
const recorder = heldRecording("sound", "S.wav", silence, 16_000).recording;

describe("the way from the mouth to a microphone", () => {
  it("is what a person said, else what the plan has, else what is usual for the role", () => {
    expect(microphoneDistance(cameraB, "scratch", { B: 2.2 }, planned)).toEqual({ metres: 2.2, by: "said" });
    expect(microphoneDistance(cameraB, "scratch", {}, planned)).toEqual({ metres: 3.1, by: "plan" });
    expect(microphoneDistance(recorder, "boom", {}, planned)).toEqual({ metres: 0.45, by: "plan" });
    expect(microphoneDistance(cameraB, "lav", {}, planned)).toEqual({ metres: 0.25, by: "plan" });
    // The plan has no camera C, and says nothing of the interviewer's own microphone.
    expect(microphoneDistance({ ...cameraB, device: "C" }, "scratch", {}, planned).by).toBe("usual");
    expect(microphoneDistance(recorder, "interviewer", {}, planned).by).toBe("usual");
    expect(microphoneDistance(cameraB, "scratch", {}, null)).toEqual({ metres: 2, by: "usual" });
  });

  it("is read from the plan's own figures", () => {
    const plan = stagedRoom();
    const figures = roomFigures(plan);
    const ways = plannedDistances({ ...figures, drawings: undefined as never });
    for (const camera of figures.cameras) expect(ways.cameras[camera.id]).toBeCloseTo(camera.sitterMetres, 2);
    const boom = figures.sound.microphones.find((m) => m.role === "boom")!;
    expect(ways.boom).toBeCloseTo(boom.metres, 2);
    expect("lav" in ways).toBe(figures.sound.microphones.some((m) => m.role === "lav"));
  });

  it("moves camera B's picture by what the plan says, and says so", async () => {
    const box = { size: [6.1, 4.3, 2.8] as const, reverberationSeconds: 0.3 };
    const voice = room.speechLikeNoise(20, 3);
    const heard = async (microphone: room.Point) =>
      await room.convolved(voice, room.impulseResponse(box, [3.2, 2.4, 1.2], microphone));
    const held = [
      heldRecording("A", "A.mov", [await heard([3.2, 2.22, 1.05])], room.roomRateHz, { roles: ["lav"] }),
      heldRecording("B", "B.mp4", [await heard([1.5, 1.1, 1.3])], room.roomRateHz),
    ];
    const result = await clock.measure(
      { recordings: held.map((h) => h.recording), master: null, planned },
      listeningContext(arrayMedia(held)),
    );
    const row = result.recordings[1]!;
    expect(row.pictureOffset! - row.offset!).toBeCloseTo((3.1 - 0.25) / 343.21, 6);
    expect(row.microphone).toEqual({ metres: 3.1, said: false, planned: true });
    expect(result.findings.find((f) => f.code === "clock.picture-distance-planned")!.says).toContain(
      "by the distances in the plan of the room: camera B 3.1 m",
    );
  });
});
