import { AVCOL_RANGE_JPEG, AVCOL_RANGE_MPEG } from "node-av/constants";
import { avGetPixFmtFromName, Frame } from "node-av/lib";
import { must } from "./library.ts";
import { MovieFile } from "./movie-file.ts";
import type { MovieFormat, PictureFormat } from "./movie-format.ts";

export type { MovieFormat } from "./movie-format.ts";

/** A movie in the making. Calls may overlap; they are done in the order they were made. */
export interface MovieWriter {
  /**
   * The next frame. Y, U and V tightly packed, bytes for 8 bits and 16-bit words for 10. They are copied
   * before the call returns, so the same arrays may be filled again at once.
   * `ticks` is how many frames of the movie's rate it is shown for; more than 1 makes a variable rate.
   */
  picture(planes: readonly (Uint8Array | Uint16Array)[], ticks?: number): Promise<void>;
  /** The next samples, one array per channel, full scale ±1, any equal length. */
  sound(channels: readonly Float32Array[]): Promise<void>;
  /** Finishes the file and lets it appear under its name. */
  close(): Promise<void>;
  /** Gives up; nothing appears. */
  abandon(): Promise<void>;
}

/**
 * Writes a movie: pictures and sound are encoded and interleaved by time whatever the order of the calls.
 *
 * @param path - Ends in `.mov`, `.mp4` or `.mkv`, which chooses the container. The file appears whole on `close`.
 * @throws ExplainedError `DISK_FULL`, `DISK_WRITE_FAILED`, `MEDIA_ENCODE_FAILED`.
 */
export async function openMovieWriter(path: string, format: MovieFormat): Promise<MovieWriter> {
  const file = await MovieFile.open(path, format);
  return {
    async picture(planes, ticks = 1) {
      if (!format.video) throw new TypeError("this movie has no pictures");
      const frame = frameFromPlanes(planes, format.video);
      try {
        await file.picture(frame, ticks);
      } finally {
        frame.free();
      }
    },
    sound: (channels) => file.sound(channels),
    close: async () => {
      await file.close();
    },
    abandon: () => file.abandon(),
  };
}

/** Copies packed planes into a frame of the library's own memory. */
function frameFromPlanes(planes: readonly (Uint8Array | Uint16Array)[], format: PictureFormat): Frame {
  const { width, height, pixelFormat, colour } = format;
  const bytesPerSample = pixelFormat === "yuv420p" ? 1 : 2;
  const chromaHeight = pixelFormat === "yuv422p10le" ? height : height / 2;
  const frame = new Frame();
  frame.alloc();
  try {
    frame.format = avGetPixFmtFromName(pixelFormat);
    frame.width = width;
    frame.height = height;
    must(frame.getBuffer(0), "picture buffer");
    frame.colorRange = colour.fullRange ? AVCOL_RANGE_JPEG : AVCOL_RANGE_MPEG;
    frame.colorSpace = colour.matrix as Frame["colorSpace"];
    frame.colorPrimaries = colour.primaries as Frame["colorPrimaries"];
    frame.colorTrc = colour.transfer as Frame["colorTrc"];
    const memory = frame.data!;
    const strides = frame.linesize;
    for (let p = 0; p < 3; p++) {
      const plane = planes[p];
      const rowBytes = (p === 0 ? width : width / 2) * bytesPerSample;
      const rows = p === 0 ? height : chromaHeight;
      if (plane === undefined || plane.byteLength !== rowBytes * rows) {
        throw new TypeError(`plane ${p} has ${plane?.byteLength ?? 0} bytes, expected ${rowBytes * rows}`);
      }
      copyRows(
        new Uint8Array(plane.buffer, plane.byteOffset, plane.byteLength),
        memory[p]!,
        rowBytes,
        strides[p]!,
        rows,
      );
    }
    return frame;
  } catch (cause) {
    frame.free();
    throw cause;
  }
}

function copyRows(from: Uint8Array, to: Uint8Array, rowBytes: number, stride: number, rows: number): void {
  if (stride === rowBytes) {
    to.set(from);
    return;
  }
  for (let row = 0; row < rows; row++)
    to.set(from.subarray(row * rowBytes, (row + 1) * rowBytes), row * stride);
}
