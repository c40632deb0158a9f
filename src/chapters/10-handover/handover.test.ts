import { beforeAll, describe, expect, it } from "vitest";
import type { MeasureContext, RenderClip } from "#documents/chapter";
import { type HandoverResult, handoverResultSchema } from "#documents/chapter-results";
import type { SoundBlock } from "#documents/media-reader";
import type { Recording } from "#documents/recording";
import { readEdl } from "#formats/edl/read-edl";
import type { OtioClip, OtioTrack } from "#formats/otio/otio-document";
import { rangesInTrack, readOtio } from "#formats/otio/read-otio";
import { loudnessOf } from "../../../test/helpers/sound-context.ts";
import { handover } from "./handover.ts";
import type { HandoverInputs } from "./handover-inputs.ts";

/** A cut of four shots: A, over a join to B, on to A, over a join to A again at another size. */
const at25 = { num: 25, den: 1 };
function camera(
  device: string,
  path: string,
  timecode: string | null,
  more: { rate?: typeof at25; seconds?: number } = {},
): Recording {
  const { rate = at25, seconds = 100 } = more;
  return {
    hash: `xxh128:${path}`,
    path,
    device,
    kind: "camera",
    roles: [],
    probe: {
      container: "mov",
      bytes: 1,
      durationSeconds: seconds,
      picture: {
        streamIndex: 0,
        codec: "h264",
        pixelFormat: "yuv420p",
        bitDepth: 8,
        width: 1280,
        height: 720,
        frameRate: rate,
        isVariableRate: false,
        startSeconds: 0,
        durationSeconds: seconds,
        frames: Math.round((seconds * rate.num) / rate.den),
        colour: { primaries: 1, transfer: 1, matrix: 1, fullRange: false },
        rotationDegrees: 0,
        pixelAspect: { num: 1, den: 1 },
      },
      sound: {
        streamIndex: 1,
        codec: "pcm_s24le",
        sampleRateHz: 48_000,
        channels: device === "A" ? 2 : 1,
        startSeconds: 0,
        durationSeconds: seconds,
      },
      timecode,
      timeReferenceSamples: null,
      createdAt: null,
    },
  };
}
const a = camera("A", "originals/A/mill 01.mov", "10:00:00:00");
const b = camera("B", "originals/B/clip1.mp4", null);
const bOffset = -3;
const bPpm = 40;
const event = (
  camera_: Recording,
  start: number,
  end: number,
  sittingStart: number,
  why: string,
  scale?: number,
): HandoverInputs["story"]["events"][number] => {
  const local = (s: number): number => (camera_ === a ? s : (s - bOffset) / (1 + bPpm * 1e-6));
  const sittingEnd = sittingStart + end - start;
  return {
    start,
    end,
    camera: camera_.device,
    path: camera_.path,
    hash: camera_.hash,
    sourceStart: local(sittingStart),
    sourceEnd: local(sittingEnd),
    sittingStart,
    sittingEnd,
    ...(scale ? { scale } : {}),
    why,
  };
};
const inputs: HandoverInputs = {
  title: "The tide mill",
  recordings: [a, b],
  leadingCamera: "A",
  placed: [
    { hash: a.hash, offset: 0, ratePpm: 0, pictureOffset: 0 },
    { hash: b.hash, offset: bOffset, ratePpm: bPpm, pictureOffset: bOffset },
  ],
  story: {
    frameRate: at25,
    events: [
      event(a, 0, 8, 12, "opens on A, the wider"),
      event(b, 8, 15.2, 23.6, "the angle changes over the join"),
      event(a, 15.2, 21.2, 30.8, "back to the wider angle"),
      event(a, 21.2, 26, 40, "the size changes over the join", 1.15),
    ],
    dropped: [
      { start: 0, end: 12, why: "before the first answer: slate, clap and the first question" },
      { start: 20, end: 23.6, why: "a pause of 4.0 s" },
      { start: 36.8, end: 40, why: "a question" },
      { start: 44.8, end: 60, why: "after the last answer" },
    ],
    speech: [
      { start: 12.2, end: 19.7, who: "sitter" },
      { start: 23.8, end: 36.4, who: "sitter" },
      { start: 37.5, end: 39, who: "interviewer" },
      { start: 40.2, end: 44.4, who: "sitter" },
    ],
    findings: [
      {
        code: "story.join-by-size",
        weight: "warn",
        says: "The join at 0:40 stays on A, because camera B is soft there.",
        remedy: "Lay a cutaway over it.",
        evidence: { where: "A", from: 36.8, to: 40 },
      },
    ],
  },
  voice: {
    files: ["measured/voice/dialogue.wav", "measured/voice/lav.wav", "measured/voice/boom.wav"],
    dialogueStart: -0.5,
    roles: [
      { path: a.path, hash: a.hash, channel: 1, role: "lav" },
      { path: a.path, hash: a.hash, channel: 2, role: "boom" },
      { path: b.path, hash: b.hash, channel: 1, role: "scratch" },
    ],
  },
  colour: {
    files: ["measured/colour/b-to-a.cube", "measured/colour/view.cube"],
    lut: "measured/colour/b-to-a.cube",
    viewLut: "measured/colour/view.cube",
  },
  looks: {
    A: [{ from: null, to: null, luts: ["measured/colour/view.cube"] }],
    B: [{ from: null, to: null, luts: ["measured/colour/b-to-a.cube", "measured/colour/view.cube"] }],
  },
  marks: [],
  loudnessTarget: -18,
  truePeakCeiling: -1,
};

/** A voice-like tone where somebody speaks, else faint noise; a context that keeps what is written. */
const dialogues = new Map<string, Float32Array>();
function dialogueOf({ voice, story }: HandoverInputs): Float32Array {
  const key = JSON.stringify([voice.dialogueStart, story.speech]);
  let made = dialogues.get(key);
  if (!made) {
    made = new Float32Array(61 * 48_000);
    for (let n = 0; n < made.length; n++) made[n] = 0.0005 * Math.sin(n * 12.9898 * n);
    for (const { start, end } of story.speech)
      for (
        let n = Math.round((start - voice.dialogueStart) * 48_000);
        n < (end - voice.dialogueStart) * 48_000;
        n++
      ) {
        const t = n / 48_000;
        made[n] = 0.1 * (0.6 + 0.4 * Math.sin(2 * Math.PI * 3 * t)) * Math.sin(2 * Math.PI * 220 * t);
      }
    dialogues.set(key, made);
  }
  return made;
}
function keepingContext(own: HandoverInputs = inputs) {
  const dialogue = dialogueOf(own);
  const texts = new Map<string, string>();
  const sounds = new Map<string, { channels: Float32Array[]; timeReference: number | undefined }>();
  const copies: string[] = [];
  let clips: readonly RenderClip[] = [];
  const context: Partial<MeasureContext> = {
    signal: new AbortController().signal,
    progress() {},
    async *madeSound(_path, wish): AsyncGenerator<SoundBlock> {
      const end = Math.min(dialogue.length, Math.round((wish.endSeconds ?? 1e9) * 48_000));
      for (let at = Math.round((wish.startSeconds ?? 0) * 48_000); at < end; at += 30_000)
        yield { firstSample: at, channels: [dialogue.slice(at, Math.min(end, at + 30_000))] };
    },
    async writeSound(name, format, blocks) {
      const parts: Float32Array[][] = [];
      for await (const block of blocks) parts.push(block.channels.slice());
      const channels = Array.from({ length: format.channels }, (_, c) => {
        const whole = new Float32Array(parts.reduce((sum, part) => sum + part[c]!.length, 0));
        let at = 0;
        for (const part of parts) {
          whole.set(part[c]!, at);
          at += part[c]!.length;
        }
        return whole;
      });
      sounds.set(`handover/${name}`, { channels, timeReference: format.timeReferenceSamples });
      return `handover/${name}`;
    },
    async writeText(name, text) {
      texts.set(name, text);
      return `handover/${name}`;
    },
    async still(name) {
      return `handover/${name}`;
    },
    async copyMade(path, name) {
      copies.push(path);
      return `handover/${name}`;
    },
    async loudness(path) {
      const sound = sounds.get(path.endsWith(".mp4") ? "handover/sound/program-mix.wav" : path)!;
      const peak = 20 * Math.log10(sound.channels[0]!.reduce((m, x) => Math.max(m, Math.abs(x)), 1e-9));
      // Both channels carry the same: their powers add (ITU-R BS.1770-5, Annex 1, equation 2).
      return { integrated: loudnessOf(sound.channels[0]!) + 10 * Math.log10(2), truePeak: peak, range: 4 };
    },
    async renderCut(name, given, _sound, { frameRate }) {
      clips = given;
      const seconds = given.reduce((sum, c) => sum + c.sourceEnd - c.sourceStart, 0);
      return { path: `handover/${name}`, frames: Math.round((seconds * frameRate.num) / frameRate.den) };
    },
    bytes: async () => 1234,
  };
  return { context: context as MeasureContext, texts, sounds, copies, dialogue, clips: () => clips };
}

describe("what is handed over", () => {
  const kept = keepingContext();
  let result: HandoverResult;
  beforeAll(async () => {
    result = await handover.measure(inputs, kept.context);
  });

  it("is of the published shape and says what each file is", () => {
    expect(handoverResultSchema.parse(result)).toEqual(result);
    expect(result.files.map(({ path }) => path)).toEqual([
      "handover/sound/program-mix.wav",
      "handover/sound/dialogue.wav",
      "handover/sound/lav.wav",
      "handover/sound/boom.wav",
      "handover/cut.edl",
      "handover/cut.otio",
      "handover/chapters.vtt",
      "handover/luts/b-to-a.cube",
      "handover/luts/view.cube",
      "handover/first-cut.mp4",
      "handover/first-cut.jpg",
    ]);
  });

  it("opens with one sentence that is true", () => {
    expect(handover.verdict(result)).toBe("Eleven files are ready; the first cut runs 0:26 at −18.0 LUFS.");
    expect(result.findings).toEqual([]);
  });

  it("says of the first cut which shots it was rendered from", () => {
    expect(result.firstCut?.shots?.map(({ hash, seconds }) => [hash, Number(seconds.toFixed(6))])).toEqual([
      [a.hash, 8],
      [b.hash, 7.2],
      [a.hash, 6],
      [a.hash, 4.8],
    ]);
    expect(result.firstCut?.shots?.[3]?.scale).toBe(1.15);
  });

  it("writes an edit decision list that a person can read", async () => {
    await expect(kept.texts.get("cut.edl")).toMatchFileSnapshot(
      "../../../test/golden/handover/two-camera.edl",
    );
  });

  it("writes a list whose pictures and sound fill the same 26 seconds", () => {
    const { events } = readEdl(kept.texts.get("cut.edl")!, at25);
    for (const channel of ["V", "A"]) {
      let at = 90_000;
      for (const e of events.filter((x) => x.channel === channel)) {
        expect(e.recordIn).toBe(at);
        at = e.recordOut;
      }
      expect(at - 90_000).toBe(26 * 25);
    }
    // A at 12 s by its own timecode 10:00:00:00; B has none and counts from its first frame.
    const pictures = events.filter(({ channel }) => channel === "V");
    expect(pictures.map(({ reel, sourceIn }) => [reel, sourceIn])).toEqual([
      ["A001", 900_000 + 300],
      ["B001", Math.round(((23.6 + 3) / (1 + 40e-6)) * 25)],
      ["A001", 900_000 + 770],
      ["A001", 900_000 + 1000],
    ]);
  });

  it("writes a timeline that a person can read", async () => {
    await expect(kept.texts.get("cut.otio")).toMatchFileSnapshot(
      "../../../test/golden/handover/two-camera.otio",
    );
  });

  it("writes a timeline whose tracks are all of one length and lie inside their media", () => {
    const timeline = readOtio(kept.texts.get("cut.otio")!);
    expect(timeline.global_start_time).toMatchObject({ value: 90_000, rate: 25 });
    const tracks = timeline.tracks.children as OtioTrack[];
    expect(tracks.map(({ name, kind, enabled }) => [name, kind, enabled])).toEqual([
      ["picture", "Video", true],
      ["dialogue", "Audio", true],
      ["lav", "Audio", false],
      ["boom", "Audio", false],
      ["B scratch (clip1.mp4)", "Audio", false],
    ]);
    for (const track of tracks) {
      const last = rangesInTrack(track).at(-1)!;
      const { rate } = (track.children[0] as OtioClip).source_range!.duration;
      expect((last.start + last.duration) / rate).toBeCloseTo(26, 9);
      for (const child of track.children) {
        if (child.OTIO_SCHEMA !== "Clip.2") continue;
        const { source_range: range, media_references: media } = child;
        const available = media.DEFAULT_MEDIA!.available_range!;
        expect(range!.start_time.value).toBeGreaterThanOrEqual(available.start_time.value);
        expect(range!.start_time.value + range!.duration.value).toBeLessThanOrEqual(
          available.start_time.value + available.duration.value + 1e-6,
        );
      }
    }
  });

  it("marks creases and what Story found, on the shots where they fall", () => {
    const picture = readOtio(kept.texts.get("cut.otio")!).tracks.children[0] as OtioTrack;
    const marks = picture.children.map((clip) =>
      (clip as OtioClip).markers.map(({ name, color }) => [name, color]),
    );
    expect(marks).toEqual([
      [],
      [["crease", "YELLOW"]],
      [],
      [
        ["crease", "YELLOW"],
        ["story.join-by-size", "ORANGE"],
      ],
    ]);
  });

  it("writes sound that lasts as long as the picture, from 01:00:00:00", () => {
    const mix = kept.sounds.get("handover/sound/program-mix.wav")!;
    expect(mix.channels.map(({ length }) => length)).toEqual([26 * 48_000, 26 * 48_000]);
    // EBU Tech 3285: samples since midnight; 3600 s at 48 kHz.
    expect(mix.timeReference).toBe(172_800_000);
  });

  it("lays each word of the dialogue where the picture shows it, to a sample", () => {
    const mix = kept.sounds.get("handover/sound/program-mix.wav")!.channels[0]!;
    // 30.5 s of sitting time is at 8 + (30.5 - 23.6) = 14.9 s of program time.
    const [at, from] = [Math.round(14.9 * 48_000), Math.round(31 * 48_000)];
    const ratio = mix[at + 37]! / kept.dialogue[from + 37]!;
    for (let k = 0; k < 480; k += 7) expect(mix[at + k]! / ratio).toBeCloseTo(kept.dialogue[from + k]!, 5);
  });

  it("brings the sound to the target within 0.2 LU and holds the peak", () => {
    expect(result.firstCut!.loudness.integrated).toBeCloseTo(-18, 0);
    expect(Math.abs(result.firstCut!.loudness.integrated + 18)).toBeLessThan(0.2);
    expect(result.firstCut!.loudness.truePeak).toBeLessThan(-1);
  });

  it("renders each shot with its camera's look, at its size, exactly as long as the lists say", () => {
    expect(kept.clips().map(({ recording, luts, scale }) => [recording.device, luts.length, scale])).toEqual([
      ["A", 1, 1],
      ["B", 2, 1],
      ["A", 1, 1],
      ["A", 1, 1.15],
    ]);
    expect(kept.clips().reduce((sum, c) => sum + c.sourceEnd - c.sourceStart, 0)).toBeCloseTo(26, 9);
    expect(result.firstCut).toMatchObject({ width: 1280, height: 720, frameRate: at25, durationSeconds: 26 });
  });

  it("names a chapter for each answer", () => {
    expect(kept.texts.get("chapters.vtt")).toContain("00:00:00.000 --> 00:00:21.200\nAnswer 1");
    expect(kept.texts.get("chapters.vtt")).toContain("00:00:21.200 --> 00:00:26.000\nAnswer 2");
  });
});

describe("sources that differ", () => {
  it("are conformed and named in a finding; lists count them at the program's rate", async () => {
    const fifty = camera("B", b.path, "00:00:10:00", { rate: { num: 50, den: 1 } });
    const own = { ...inputs, recordings: [a, fifty] };
    const kept = keepingContext(own);
    const result = await handover.measure(own, kept.context);
    expect(result.findings.map(({ code }) => code)).toEqual(["handover.conformed"]);
    const event_ = readEdl(kept.texts.get("cut.edl")!, at25).events.find(({ reel }) => reel === "B001")!;
    expect(event_.sourceIn).toBe(250 + Math.round((26.6 / (1 + 40e-6)) * 25));
    const picture = readOtio(kept.texts.get("cut.otio")!).tracks.children[0] as OtioTrack;
    expect((picture.children[1] as OtioClip).source_range!.duration).toMatchObject({ rate: 50, value: 360 });
  });

  it("at 29.97 drop-frame are counted with drops, and the program begins at 01:00:00;00", async () => {
    const ntsc = { num: 30_000, den: 1001 };
    const frames = (seconds: number): number => (Math.round((seconds * 30_000) / 1001) * 1001) / 30_000;
    const lead = camera("A", a.path, "10:00:00;00", { rate: ntsc });
    const first = { ...event(a, 0, frames(8), 12, "opens on A"), hash: lead.hash };
    const own = {
      ...inputs,
      recordings: [lead],
      story: { ...inputs.story, frameRate: ntsc, events: [first], findings: [] },
    };
    const kept = keepingContext(own);
    await handover.measure(own, kept.context);
    const text = kept.texts.get("cut.edl")!;
    expect(text).toContain("FCM: DROP FRAME");
    expect(text).toContain("01:00:00;00 01:00:08;00");
    // REFERENCES 1.2: 1078920 is the real frame of 10:00:00;00.
    const shot = readEdl(text, ntsc).events.find(({ channel }) => channel === "V")!;
    expect(shot.sourceIn).toBe(1_078_920 + Math.round((12 * 30_000) / 1001));
    // 107 892 frames x 1001/30000 s x 48 000 = 172 799 827.2 samples since midnight.
    expect(kept.sounds.get("handover/sound/program-mix.wav")!.timeReference).toBe(172_799_827);
  });

  it("that break off are offered no farther than they can be read", async () => {
    const own = { ...inputs, recordings: [{ ...a, readableSeconds: 60.5 }, b] };
    const kept = keepingContext(own);
    await handover.measure(own, kept.context);
    const clip = (readOtio(kept.texts.get("cut.otio")!).tracks.children[0] as OtioTrack)
      .children[0] as OtioClip;
    expect(clip.media_references.DEFAULT_MEDIA!.available_range!.duration.value).toBe(Math.floor(60.5 * 25));
  });

  it("with a timecode that does not exist are counted from their first frame, and it is said", async () => {
    const odd = { ...inputs, recordings: [camera("A", a.path, "99:00:00:00"), b] };
    const result = await handover.measure(odd, keepingContext(odd).context);
    expect(result.findings.map(({ code }) => code)).toEqual(["handover.timecode-unreadable"]);
  });
});

describe("what is missing is said", () => {
  it("where there is no cut yet", () => {
    const view = {
      sitting: {} as never,
      recordings: [],
      results: { clock: {} as never, voice: {} as never },
    };
    expect(handover.inputs(view)).toEqual({ missing: "There is no cut yet. Run Story first." });
  });
});

describe("what somebody said and pointed at", () => {
  const line = (start: number, end: number, text: string, who?: string) => ({
    start,
    end,
    text,
    ...(who ? { who } : {}),
  });
  const own: HandoverInputs = {
    ...inputs,
    story: {
      ...inputs.story,
      lines: [
        line(2, 4, "Slate, take one."),
        line(12.5, 15, "The wheel turns both ways, with the ebb and with the flood.", "The miller"),
        // Two thirds of it were left out.
        line(19, 22, "Well."),
        // One fifth of it.
        line(23, 26, "That was my mother's."),
      ],
    },
    marks: [
      { at: 14, words: "the hand on the wheel" },
      { at: 21, words: "in what was left out" },
    ],
  };

  it("comes with the cut: captions in program time, and marks on the pictures", async () => {
    const kept = keepingContext(own);
    const { files } = await handover.measure(own, kept.context);
    // The cut begins at 12 s of the sitting; after 8 s it goes on at 23.6 s.
    expect(kept.texts.get("captions.vtt")).toBe(
      [
        "WEBVTT",
        "",
        "00:00:00.500 --> 00:00:03.000",
        "The miller: The wheel turns both ways,",
        "with the ebb and with the flood.",
        "",
        "00:00:08.000 --> 00:00:10.400",
        "That was my mother's.",
        "",
      ].join("\n"),
    );
    expect(kept.texts.get("captions.srt")).toContain("00:00:08,000 --> 00:00:10,400");
    expect(files.map(({ path }) => path)).toContain("handover/captions.srt");
    const pictures = readOtio(kept.texts.get("cut.otio")!).tracks.children[0] as OtioTrack;
    const marks = pictures.children.flatMap((clip) =>
      ((clip as OtioClip).markers ?? []).filter(({ name }) => name === "mark"),
    );
    // 14 s of the sitting is 350 frames after the first of camera A's own timecode, 10:00:00:00.
    expect(marks.map(({ comment, marked_range }) => [comment, marked_range.start_time.value])).toEqual([
      ["the hand on the wheel", 900_000 + 350],
    ]);
  });
});
