import { AV_LOG_QUIET } from "node-av/constants";
import { FFmpegError, Log } from "node-av/lib";

// The library writes straight to standard error, which belongs to the person; faults are read from return codes.
Log.setLevel(AV_LOG_QUIET);

/** What the media library answered when a step failed; translated to advice at the edge of this folder. */
export class LibraryFault extends Error {
  override readonly name = "LibraryFault";
  /** FFmpeg's negative code. */
  readonly code: number;
  readonly step: string;
  readonly saying: string;

  constructor(code: number, step: string) {
    const saying = FFmpegError.strerror(code);
    super(`${step}: ${saying} (${code})`);
    this.code = code;
    this.step = step;
    this.saying = saying;
  }
}

/**
 * Passes a library result on, or throws.
 *
 * @param code - What the call returned; negative is a failure.
 * @param step - What was being done, in a few words.
 * @throws LibraryFault when `code` is negative.
 */
export function must(code: number, step: string): number {
  if (code < 0) throw new LibraryFault(code, step);
  return code;
}
