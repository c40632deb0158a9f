import type { SoundBlock } from "#documents/media-reader";
import { MovieFile } from "./movie-file.ts";

/** How a sound file is kept. */
export interface SoundFileFormat {
  readonly sampleRateHz: number;
  readonly channels: number;
  /** 24: integers, clipped at full scale. 32: floating point, nothing is clipped. */
  readonly bits: 24 | 32;
  /** EBU Tech 3285 TimeReference: samples since midnight. */
  readonly timeReferenceSamples?: number;
  /** EBU Tech 3285 Description, ASCII, at most 256 letters. */
  readonly description?: string;
}

/**
 * Writes a WAV file with a broadcast extension chunk (EBU Tech 3285), RF64 (EBU Tech 3306) where it outgrows
 * 4 GB. It appears whole or not at all. Sample 0 is the first block's first; a hole between blocks is silence.
 *
 * @throws ExplainedError `DISK_FULL`, `DISK_WRITE_FAILED`; whatever `blocks` throws.
 */
export async function writeSoundFile(
  path: string,
  format: SoundFileFormat,
  blocks: AsyncIterable<SoundBlock> | Iterable<SoundBlock>,
): Promise<{ samples: number }> {
  const tags: Record<string, string> = {};
  if (format.timeReferenceSamples !== undefined) tags.time_reference = String(format.timeReferenceSamples);
  if (format.description !== undefined) tags.description = format.description;
  const file = await MovieFile.open(path, {
    sound: {
      codec: format.bits === 24 ? "pcm_s24le" : "pcm_f32le",
      sampleRateHz: format.sampleRateHz,
      channels: format.channels,
    },
    tags,
    containerOptions: { write_bext: 1, rf64: "auto" },
  });
  let next: number | undefined;
  let samples = 0;
  try {
    for await (const block of blocks) {
      const gap = next === undefined ? 0 : block.firstSample - next;
      if (gap < 0) throw new TypeError(`a block begins ${-gap} samples before the end of the one before it`);
      if (gap > 0) await file.sound(Array.from({ length: format.channels }, () => new Float32Array(gap)));
      await file.sound(block.channels);
      const length = block.channels[0]?.length ?? 0;
      next = block.firstSample + length;
      samples += gap + length;
    }
    await file.close();
    return { samples };
  } catch (cause) {
    await file.abandon();
    throw cause;
  }
}
