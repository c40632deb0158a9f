/** Where the samples of a WAV file lie and what they are. */
export interface WaveFormat {
  readonly channels: number;
  readonly sampleRateHz: number;
  readonly bits: 16 | 24 | 32;
  readonly isFloat: boolean;
  /** First byte of the samples. */
  readonly dataStart: number;
}

/**
 * Reads the head of a RIFF or RF64 wave file.
 *
 * @param head - Its first bytes; enough to reach the samples.
 * @returns null where it is no such file, or its samples are of a kind that this does not read.
 *
 * Source: EBU Tech 3285 (BWF), EBU Tech 3306 (RF64): chunks of a four-letter name, a length and their bytes, padded to
 * even length.
 */
export function waveFormat(head: DataView): WaveFormat | null {
  const name = (at: number) =>
    String.fromCharCode(
      head.getUint8(at),
      head.getUint8(at + 1),
      head.getUint8(at + 2),
      head.getUint8(at + 3),
    );
  if (head.byteLength < 12 || !["RIFF", "RF64", "BW64"].includes(name(0)) || name(8) !== "WAVE") return null;
  let format: Omit<WaveFormat, "dataStart"> | null = null;
  for (let at = 12; at + 8 <= head.byteLength; ) {
    const length = head.getUint32(at + 4, true);
    if (name(at) === "data") return format && { ...format, dataStart: at + 8 };
    if (name(at) === "fmt " && at + 24 <= head.byteLength) {
      const tag = head.getUint16(at + 8, true);
      const kind = tag === 0xfffe && at + 34 <= head.byteLength ? head.getUint16(at + 32, true) : tag;
      const bits = head.getUint16(at + 22, true);
      if ((kind !== 1 && kind !== 3) || (bits !== 16 && bits !== 24 && bits !== 32)) return null;
      format = {
        channels: head.getUint16(at + 10, true),
        sampleRateHz: head.getUint32(at + 12, true),
        bits,
        isFloat: kind === 3,
      };
    }
    at += 8 + length + (length % 2);
  }
  return null;
}

/** Samples of the first channel, full scale ±1, from whole frames as they lie in the file. */
export function waveSamples(bytes: DataView, format: WaveFormat): Float32Array<ArrayBuffer> {
  const step = (format.channels * format.bits) / 8;
  const samples = new Float32Array(Math.floor(bytes.byteLength / step));
  for (let i = 0; i < samples.length; i++) {
    const at = i * step;
    samples[i] = format.isFloat
      ? bytes.getFloat32(at, true)
      : format.bits === 16
        ? bytes.getInt16(at, true) / 0x8000
        : format.bits === 24
          ? ((bytes.getUint8(at + 2) << 24) | (bytes.getUint8(at + 1) << 16) | (bytes.getUint8(at) << 8)) /
            0x80000000
          : bytes.getInt32(at, true) / 0x80000000;
  }
  return samples;
}
