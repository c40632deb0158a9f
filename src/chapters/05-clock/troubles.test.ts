import { beforeAll, describe, expect, it } from "vitest";
import type { ClockResult } from "#documents/chapter-results";
import { FilterChain, lowPass } from "#science/filters/biquad";
import {
  arrayMedia,
  type HeldRecording,
  heldRecording,
  listeningContext,
} from "../../../test/helpers/array-media.ts";
import { type Interview, simulatedInterview, wayToCamera } from "../../../test/helpers/interview.ts";
import * as room from "../../../test/helpers/simulated-room.ts";
import { clock } from "./clock.ts";

/* What real recordings do to their sound. The truth is the simulated room's own. */

const rate = room.roomRateHz;
const measure = (held: readonly HeldRecording[]): Promise<ClockResult> =>
  clock.measure(
    { recordings: held.map((h) => h.recording), master: null },
    listeningContext(arrayMedia(held)),
  );

function worstError(
  result: ClockResult,
  path: string,
  start: number,
  ratePpm: number,
  way = wayToCamera,
): number {
  const row = result.recordings.find((r) => r.path === path)!;
  const error = (t: number) =>
    row.offset! + t * (1 + row.ratePpm! * 1e-6) - (start - way + t * (1 + ratePpm * 1e-6));
  return Math.max(Math.abs(error(0)), Math.abs(error(row.durationSeconds)));
}

/** Slow gain as a camera sets it by itself: 90 % of the way in two seconds when soft, at once when loud. */
function automaticGain(x: Float32Array): Float32Array {
  let level = 0.1;
  return x.map((v) => {
    level += (Math.abs(v) - level) * (Math.abs(v) > level ? 0.002 : 2.3 / (2 * rate));
    return (0.05 * v) / Math.max(0.003, level);
  });
}

describe("clock, on what real recordings do to their sound", () => {
  let sound: Interview;
  beforeAll(async () => {
    sound = await simulatedInterview(40, 51, { reverberationSeconds: 0.5 });
  });
  const a = () => heldRecording("A", "A.mov", [sound.lav], rate, { roles: ["lav"] });
  const camera = () => room.recorded(sound.camera, 3.3, 25, 34);
  const b = (x: Float32Array) => heldRecording("B", "B.mp4", [x], rate);

  it.each([-100, 100, 280])("follows a clock %i parts in a million off", async (ratePpm) => {
    const result = await measure([a(), b(room.recorded(sound.camera, 3.3, ratePpm, 34))]);
    expect(worstError(result, "B.mp4", 3.3, ratePpm)).toBeLessThan(1e-4);
    const row = result.recordings[1]!;
    expect(worstError(result, "B.mp4", 3.3, ratePpm)).toBeLessThan(4 * row.uncertainty!);
  });

  it("follows a lav that was wired upside down, and says so", async () => {
    const upside = heldRecording("A", "A.mov", [sound.lav.map((v) => -v)], rate, { roles: ["lav"] });
    const result = await measure([upside, b(camera())]);
    expect(worstError(result, "B.mp4", 3.3, 25)).toBeLessThan(1e-4);
    expect(result.findings.find((f) => f.code === "clock.inverted")!.says).toBe(
      "Camera B hears the waveform upside down against camera A.",
    );
  });

  it("follows a camera that sets its own gain", async () => {
    expect(worstError(await measure([a(), b(automaticGain(camera()))]), "B.mp4", 3.3, 25)).toBeLessThan(1e-4);
  });

  it("follows clipped sound", async () => {
    const x = camera();
    const top = Math.max(...Array.from({ length: 100 }, (_, k) => Math.abs(x[k * 5003 + 1000] ?? 0)));
    const clipped = x.map((v) => Math.max(-0.1 * top, Math.min(0.1 * top, v)));
    expect(worstError(await measure([a(), b(clipped)]), "B.mp4", 3.3, 25)).toBeLessThan(1e-4);
  });

  it("follows a recorder in the next room, that hears no more than 600 Hz and no direct sound", async () => {
    const deaf = new FilterChain([lowPass(600, rate), lowPass(600, rate)]).run(sound.camera.slice());
    // Through the wall: everything but the first 12 ms of the room's answer.
    const late = new Float32Array(deaf.length);
    const chance = room.uniform(4);
    for (let tap = 0; tap < 60; tap++) {
      const delay = Math.round((0.012 + 0.15 * chance()) * rate);
      const gain = (chance() - 0.5) * Math.exp(-delay / (0.06 * rate));
      for (let i = delay; i < late.length; i++) late[i]! += gain * deaf[i - delay]!;
    }
    const noisy = room.mixed(room.scaledTo(late, 0.01), room.roomNoise(40, 6, 0.002));
    const result = await measure([
      a(),
      heldRecording("sound", "next.wav", [room.recorded(noisy, 3, -15, 36)], rate),
    ]);
    const row = result.recordings[1]!;
    // What it hears comes 12 to 160 ms late: placed within that and told to be weak, or refused; never elsewhere.
    if (row.placedBy === "none") expect(row.offset).toBeNull();
    else expect(Math.abs(row.offset! - 3)).toBeLessThan(0.2);
  });

  it("finds the microphone among eight channels, seven of them silent", async () => {
    const none = new Float32Array(rate * 40);
    const channels = [none, none, none, sound.lav, none, none, none, none];
    const result = await measure([heldRecording("A", "A.mov", channels, rate), b(camera())]);
    expect(worstError(result, "B.mp4", 3.3, 25)).toBeLessThan(2e-4);
  });

  it("does not mind a picture of variable rate", async () => {
    const plain = b(camera());
    const picture = {
      ...plain.recording.probe.picture!,
      isVariableRate: true,
      frameRate: { num: 2987, den: 100 },
    };
    const varying = {
      ...plain,
      recording: { ...plain.recording, probe: { ...plain.recording.probe, picture } },
    };
    const [steady, variable] = [await measure([a(), plain]), await measure([a(), varying])];
    expect(variable.recordings[1]!.offset).toBe(steady.recordings[1]!.offset);
    expect(variable.recordings[1]!.ratePpm).toBe(steady.recordings[1]!.ratePpm);
  });
});
