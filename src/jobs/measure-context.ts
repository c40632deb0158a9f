import { copyFile, mkdir, readFile, stat } from "node:fs/promises";
import { dirname, join } from "node:path";
import type { MeasureContext } from "#documents/chapter";
import type { Recording } from "#documents/recording";
import { ExplainedError } from "#errors/explained-error";
import { writeWhole } from "#outside/disk/write-whole";
import { measureLoudness } from "#outside/media/loudness";
import { openFileSound, openMediaReader } from "#outside/media/media-reader";
import { writePictureFile, writeStill } from "#outside/media/picture-file";
import { renderCut } from "#outside/media/render-cut";
import { writeSoundFile } from "#outside/media/sound-file";
import { speechActivity } from "#outside/speech/speech-activity";
import { partsFor, pruneParts } from "./kept-parts.ts";
import { rememberedAnswer, rememberedFile } from "./remembered.ts";
import type { Progress, TaskFolders } from "./task.ts";

/** The door from a chapter to this machine: finds recordings by hash, writes only under the work folder. */
export function openMeasureContext(
  locations: Readonly<Record<string, string>>,
  folders: TaskFolders,
  tell: (progress: Progress) => void,
  signal: AbortSignal,
): MeasureContext {
  const locate = (recording: Recording): string => {
    const path = locations[recording.hash];
    if (path === undefined)
      throw new ExplainedError(
        "FILE_MISSING",
        {
          happened: `${recording.path} was not found.`,
          means: "Its drive may not be connected; nothing was changed.",
          doNext: "Connect the drive that holds it, then give the same command again.",
        },
        { path: recording.path, hash: recording.hash },
      );
    return path;
  };
  const media = openMediaReader(locate);
  /** A relative path in a result may still lie in the work folder. */
  const find = (path: string): string =>
    path.startsWith(`${folders.workWillBe}/`)
      ? join(folders.work, path.slice(folders.workWillBe.length + 1))
      : join(folders.sitting, path);
  const place = async (name: string): Promise<{ absolute: string; relative: string }> => {
    const absolute = join(folders.work, name);
    await mkdir(dirname(absolute), { recursive: true });
    return { absolute, relative: `${folders.workWillBe}/${name}` };
  };
  const write = async (name: string, writer: (absolute: string) => Promise<unknown>): Promise<string> => {
    signal.throwIfAborted();
    const { absolute, relative } = await place(name);
    await writer(absolute);
    return relative;
  };

  return {
    media,
    signal,
    progress: (done, doing = "") => {
      signal.throwIfAborted();
      tell({ done, doing });
    },
    speech: (recording, channel) =>
      speechActivity(media.sound(recording, { sampleRateHz: 16_000, channels: [channel] })),
    loudness: (path) => measureLoudness(find(path)),
    writeText: (name, text) => write(name, (to) => writeWhole(to, text)),
    writeBytes: (name, bytes) => write(name, (to) => writeWhole(to, bytes)),
    writeSound: (name, format, blocks) => write(name, (to) => writeSoundFile(to, format, blocks)),
    writePicture: (name, picture) => write(name, (to) => writePictureFile(to, picture)),
    remember: (name, inputs, make) => rememberedAnswer(folders.sitting, name, inputs, make),
    still: (name, recording, atSeconds, { maxWidth, luts = [] }) =>
      write(name, (to) =>
        rememberedFile(
          folders.sitting,
          "still.jpg",
          [recording.hash, atSeconds, maxWidth, luts],
          to,
          (path) => writeStill(path, locate(recording), atSeconds, { maxWidth, luts: luts.map(find) }),
        ),
      ),
    renderCut: async (name, clips, soundPath, format) => {
      const { absolute, relative } = await place(name);
      const expected =
        clips.reduce((sum, clip) => sum + clip.sourceEnd - clip.sourceStart, 0) *
        (format.frameRate.num / format.frameRate.den);
      const parts = await partsFor(folders.sitting, clips, format);
      const { frames } = await renderCut(
        absolute,
        clips.map((clip) => ({ ...clip, path: locate(clip.recording), luts: clip.luts.map(find) })),
        find(soundPath),
        format,
        {
          signal,
          ...(parts ? { parts } : {}),
          onFrame: (n) => tell({ done: Math.min(1, n / expected), doing: "rendering the first cut" }),
        },
      );
      await pruneParts(folders.sitting, parts ?? []);
      return { path: relative, frames };
    },
    madeSound: (path, wish) => openFileSound(find(path), wish),
    bytes: async (path) => (await stat(find(path))).size,
    readMadeText: (path) => readFile(find(path), "utf8"),
    copyMade: (path, name) => write(name, (to) => copyFile(find(path), to)),
  };
}
