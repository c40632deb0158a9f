import type { MoveFigures } from "#documents/room-light-result";

const round = (value: number, digits: number): string => {
  const text = value.toFixed(digits);
  return Number(text) === 0 ? (0).toFixed(digits) : text;
};

/**
 * A move's keyframes as comma-separated values (RFC 4180), to type into any motion head. One header row; seconds, metres
 * along the rail, degrees.
 */
export function moveCsv(moves: readonly MoveFigures[]): string {
  const rows = ["move,camera,keyframe,seconds,rail_m,pan_deg,tilt_deg"];
  for (const move of moves)
    for (const [index, { t, along, pan, tilt }] of move.keyframes.entries())
      rows.push(
        [
          quoted(move.id),
          quoted(move.camera),
          index + 1,
          round(t, 2),
          round(along, 4),
          round(pan, 3),
          round(tilt, 3),
        ].join(","),
      );
  return `${rows.join("\r\n")}\r\n`;
}

const quoted = (text: string): string => (/[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);
