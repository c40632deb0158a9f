import type { ReactNode } from "react";
import type { RoomCamera } from "#documents/room-result";
import { blurDiscMm } from "#science/optics/depth-of-field";
import { hue } from "../words/devices.ts";
import { number } from "../words/numbers.ts";
import { distance, type Units } from "../words/units.ts";

/** Distance from the lens: what is sharp filled, and behind it a point of light as large as the picture above draws it. */
export function DistanceRuler({
  camera,
  sensorHeightMm,
  width,
  pictureHeight,
  units,
}: {
  readonly camera: RoomCamera;
  readonly sensorHeightMm: number;
  readonly width: number;
  readonly pictureHeight: number;
  readonly units: Units;
}): ReactNode {
  const named = camera.behind.slice(0, 4);
  const farthest =
    Math.max(3, camera.sitterMetres * 1.6, camera.blur.metres, ...named.map((b) => b.metres)) * 1.04;
  const [left, right] = [8, width - 8];
  const x = (metres: number): number => left + (Math.min(metres, farthest) / farthest) * (right - left);
  const { near, far } = camera.focus;
  const unit = units === "feet" ? 0.3048 : 1;
  const many = farthest / unit;
  const every = unit * (many > 24 ? 10 : many > 12 ? 5 : many > 6 ? 2 : 1);
  const ticks = Array.from({ length: Math.floor(farthest / every) + 1 }, (_, i) => i * every);
  const text =
    units === "feet"
      ? `sharp ${distance(near, units)} to ${far === null ? "∞" : distance(far, units)}`
      : `sharp ${number(near, 2)}–${far === null ? "∞" : number(far, 2)} m`;
  const short = (metres: number): string =>
    units === "feet" ? `${number(metres / unit, 0)} ft` : number(metres, 1);
  const middle = (x(near) + x(far ?? farthest)) / 2;
  const half = text.length * 3;
  let free = Math.max(middle + half, left + half * 2) + 6;
  const labels = named.flatMap((thing) => {
    const words = `${thing.name} ${short(thing.metres)}`;
    const at = Math.max(free, x(thing.metres) - words.length * 2.9);
    if (at + words.length * 5.8 > right + 4) return [];
    free = at + words.length * 5.8 + 8;
    return [{ words, at }];
  });
  return (
    <svg
      className={`ruler ${hue(camera.id)}`}
      width={width}
      height={44}
      role="img"
      aria-label={`Camera ${camera.id}: ${text}. ${named.map((t) => `${t.name} at ${distance(t.metres, units)}, blurred over ${number(t.share * 100, 1)} % of the picture's height`).join("; ")}.`}
    >
      <path className="rule" d={`M${left} 14H${right}`} />
      {ticks.map((metres) => (
        <path key={metres} className="rule" d={`M${x(metres)} 11V17`} />
      ))}
      <rect
        className="sharp"
        x={x(near)}
        y={10}
        width={Math.max(1.5, x(far ?? farthest) - x(near))}
        height={8}
      />
      {named.map((thing) => {
        const disc = blurDiscMm(camera.focalMm, camera.stop, camera.focus.metres * 1000, thing.metres * 1000);
        const r = Math.max(0.8, ((disc / sensorHeightMm) * pictureHeight) / 2);
        return <circle key={thing.id} className="disc" cx={x(thing.metres)} cy={14} r={Math.min(13, r)} />;
      })}
      <text x={left} y={36}>
        0
      </text>
      <text className="strong" x={Math.max(left + half + 14, middle)} y={36} textAnchor="middle">
        {text}
      </text>
      {labels.map(({ words, at }) => (
        <text key={words} x={at} y={36}>
          {words}
        </text>
      ))}
    </svg>
  );
}
