import { AV_PKT_DATA_DISPLAYMATRIX } from "node-av/constants";
import type { Stream } from "node-av/lib";

/** Clockwise turn that a stream's display matrix asks for (ISO/IEC 14496-12, 6.2.2), 0 to 359 whole degrees. */
export function rotationDegreesOf(stream: Stream): number {
  const data = stream.codecpar.getCodedSideData(AV_PKT_DATA_DISPLAYMATRIX);
  if (!data || data.byteLength < 36) return 0;
  const matrix = new DataView(data.buffer, data.byteOffset, data.byteLength);
  const clockwise = Math.round(
    (Math.atan2(matrix.getInt32(4, true), matrix.getInt32(0, true)) * 180) / Math.PI,
  );
  return ((clockwise % 360) + 360) % 360;
}

/** The display matrix of a clockwise turn: 16.16 fixed point, the last column 2.30 (ISO/IEC 14496-12, 6.2.2). */
export function displayMatrix(clockwiseDegrees: number): Buffer {
  const radians = (clockwiseDegrees * Math.PI) / 180;
  const [cos, sin] = [Math.round(Math.cos(radians) * 65_536), Math.round(Math.sin(radians) * 65_536)];
  const matrix = new Int32Array([cos, sin, 0, -sin, cos, 0, 0, 0, 1 << 30]);
  return Buffer.from(matrix.buffer);
}
