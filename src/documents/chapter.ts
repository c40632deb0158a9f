import type { ChapterName, ChapterResults } from "./chapter-results.ts";
import type { Finding } from "./finding.ts";
import type { MediaReader, SmallPicture, SoundBlock, SpeechActivity } from "./media-reader.ts";
import type { FrameRate, Recording } from "./recording.ts";
import type { Sitting } from "./sitting.ts";

/** Everything a chapter may look at to say what it needs. */
export interface SittingView {
  readonly sitting: Sitting;
  readonly recordings: readonly Recording[];
  readonly results: Partial<ChapterResults>;
  /** The sentence that opens each chapter that has a result. */
  readonly verdicts?: Partial<Record<ChapterName, string>>;
}

/** Why a chapter has nothing to measure yet: a sentence that says what is missing and where to put it. */
export interface Missing {
  readonly missing: string;
}

/**
 * One part of the job. `inputs` picks what the chapter depends on (plain JSON: its content is the cache key);
 * `measure` does the work through the context alone; `verdict` and `findings` put the result in words.
 */
export interface Chapter<Name extends ChapterName, Inputs> {
  readonly name: Name;
  /** Raise it when the same inputs would give another result. */
  readonly version: number;
  /** The question that the chapter answers. */
  readonly question: string;
  /** Chapters whose results `inputs` reads; the runner measures them first. */
  readonly after: readonly ChapterName[];
  /** What the chapter depends on, or what is missing for it. */
  inputs(view: SittingView): Inputs | Missing;
  /** Does the work, through the context alone. */
  measure(inputs: Inputs, context: MeasureContext): Promise<ChapterResults[Name]>;
  /** The one sentence that opens the chapter. */
  verdict(result: ChapterResults[Name]): string;
  /** What is wrong or worth knowing, each with its remedy. */
  findings(result: ChapterResults[Name]): Finding[];
}

/** One clip of a cut to be rendered: local times of the recording, a LUT by path, a change of size. */
export interface RenderClip {
  readonly recording: Recording;
  readonly sourceStart: number;
  readonly sourceEnd: number;
  /** Relative paths of .cube files, applied in order to full-range RGB code values. */
  readonly luts: readonly string[];
  /** 1 or more: the picture is enlarged about its centre. */
  readonly scale: number;
}

/** Threads beside this one, for arithmetic: typed arrays on shared memory go over without being copied. */
export interface OtherHands {
  /**
   * Does work of a name that the chapter gives them, as soon as one is free.
   *
   * @param input - Plain data.
   * @param answer - Asked what the work asks meanwhile; plain data too. What lies in a {@link Scratch} it reads itself.
   * @throws what the work or the answer threw, or why all of it was stopped.
   */
  run<Result>(work: string, input: unknown, answer: (question: unknown) => Promise<unknown>): Promise<Result>;
}

/** Bytes put aside while a chapter is at work, one after another; gone when it has ended. */
export interface Scratch {
  /** By this the work of {@link OtherHands} reads the same bytes. */
  readonly key: number;
  /** The bytes may lie on shared memory; they must stay as they are until this has ended. */
  append(bytes: Uint8Array): Promise<void>;
  /** Fills `out` with what was put aside from byte `at` on; zeros where there is no more. */
  read(at: number, out: Uint8Array): Promise<void>;
}

/** The only door from a chapter to the world. Serialisable work: no shared memory is assumed. */
export interface MeasureContext {
  readonly media: MediaReader;
  readonly signal: AbortSignal;
  /** `done` from 0 to 1; `doing` in a few words: "listening to camera B". */
  progress(done: number, doing?: string): void;
  /** Speech activity of one channel, Silero model, on this machine. */
  speech(recording: Recording, channel: number): Promise<SpeechActivity>;
  /** EBU R 128 figures of a file that was written through this context (path as returned). */
  loudness(path: string): Promise<{ integrated: number; truePeak: number; range: number }>;
  /**
   * Each writer makes one whole file or none in the chapter's own folder, and answers its path relative to the
   * sitting. Names use `/` for sub-folders.
   */
  writeText(name: string, text: string): Promise<string>;
  /** As `writeText`, for bytes. */
  writeBytes(name: string, bytes: Uint8Array): Promise<string>;
  /** A WAV file of the blocks, one after another. */
  writeSound(
    name: string,
    format: {
      readonly sampleRateHz: number;
      readonly channels: number;
      readonly bits: 24 | 32;
      /** EBU Tech 3285 TimeReference, samples since midnight. */
      readonly timeReferenceSamples?: number;
      readonly description?: string;
    },
    blocks: AsyncIterable<SoundBlock> | Iterable<SoundBlock>,
  ): Promise<string>;
  /** JPEG. */
  writePicture(name: string, picture: Omit<SmallPicture, "atSeconds">): Promise<string>;
  /** A still of a recording at a local time, optionally through LUTs (relative paths), at most `maxWidth` wide, JPEG. */
  still(
    name: string,
    recording: Recording,
    atSeconds: number,
    wish: { readonly maxWidth: number; readonly luts?: readonly string[] },
  ): Promise<string>;
  /** Renders the clips end to end with one sound file under them (48 kHz; its sample 0 at program time 0). */
  renderCut(
    name: string,
    clips: readonly RenderClip[],
    soundPath: string,
    format: { readonly width: number; readonly height: number; readonly frameRate: FrameRate },
  ): Promise<{ path: string; frames: number }>;
  /** Samples of a sound file written by another chapter (path relative to the sitting). */
  madeSound(
    path: string,
    wish: { readonly startSeconds?: number; readonly endSeconds?: number },
  ): AsyncIterable<SoundBlock>;
  /** Text of a file that another chapter made, by its relative path. */
  readMadeText(path: string): Promise<string>;
  /** Copies a file another chapter made (relative path) under this chapter's folder. */
  copyMade(path: string, name: string): Promise<string>;
  /**
   * A part of the work that depends on less than the whole: done once for the same name and inputs, its answer (JSON)
   * kept beside the results. Not there: nothing is kept.
   */
  remember?<T>(name: string, inputs: unknown, make: () => Promise<T>): Promise<T>;
  /** Not there: all is done in this thread. The chapter that is measured answers to the names of its own work. */
  readonly hands?: OtherHands;
  /** What is too long for memory. Not there: it is kept in memory or made again. */
  scratch?(): Promise<Scratch>;
  /** Size of a file that was made (path as returned). */
  bytes?(path: string): Promise<number>;
}
