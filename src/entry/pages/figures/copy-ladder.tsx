import { memo, type ReactNode } from "react";
import type { CardsResult } from "#documents/chapter-results";
import type { Recording } from "#documents/recording";
import { useMeasuredWidth } from "../parts/measured-width.ts";
import { fileName } from "../words/addresses.ts";
import { hue } from "../words/devices.ts";
import { bytes } from "../words/numbers.ts";

/** Files down the page, the card first, then each place: a filled disc where the copy was read back and is alike. */
export const CopyLadder = memo(function CopyLadder({
  cards,
  recordings,
}: {
  readonly cards: CardsResult;
  readonly recordings: readonly Recording[];
}): ReactNode {
  const [ref, width] = useMeasuredWidth<HTMLDivElement>();
  const places = ["the card", ...cards.copies.map((c) => c.place)];
  const row = 30;
  const top = 40;
  const height = top + row * cards.files.length + 4;
  const nameWidth = Math.min(240, width * 0.4);
  const x = (i: number) => nameWidth + ((width - nameWidth) / places.length) * (i + 0.5);
  const most = Math.max(1, ...cards.files.map((f) => f.bytes));
  return (
    <div className="fig" ref={ref} style={{ minHeight: height }}>
      {width > 0 && (
        <svg
          height={height}
          viewBox={`0 0 ${width} ${height}`}
          role="img"
          aria-label={`${cards.files.length} files on the card. ${cards.copies
            .map((c) => `${c.place}: ${c.verified} read back alike, ${c.failed} not`)
            .join(". ")}.`}
        >
          {places.map((place, i) => (
            <text key={place} className="head" x={x(i)} y={16} textAnchor="middle">
              {clip(i === 0 ? place : fileName(place), (width - nameWidth) / places.length)}
            </text>
          ))}
          <line className="axis" x1={0} x2={width} y1={26} y2={26} />
          {cards.files.map((file, r) => {
            const y = top + row * r + 8;
            const recording = recordings.find(
              (k) => k.hash === file.hash || fileName(k.path) === fileName(file.path),
            );
            const tone = hue(recording?.device ?? "");
            // Thickness is the file's size, so that what was much to copy looks it.
            const thick = 1.2 + 5 * Math.sqrt(file.bytes / most);
            return (
              <g key={file.path}>
                <text x={0} y={y + 4}>
                  {clip(fileName(file.path), nameWidth - 62)}
                </text>
                <text className="q" x={nameWidth - 4} y={y + 4} textAnchor="end">
                  {bytes(file.bytes)}
                </text>
                <line
                  className={`stroke-${tone}`}
                  strokeWidth={thick}
                  x1={x(0)}
                  x2={x(places.length - 1)}
                  y1={y}
                  y2={y}
                />
                {places.map((place, i) => {
                  const copy = cards.copies[i - 1];
                  const whole =
                    i === 0 ||
                    (copy !== undefined && copy.failed === 0 && copy.verified >= cards.files.length);
                  return (
                    <circle
                      key={place}
                      className={whole ? "fill-n" : "open stroke-n"}
                      strokeWidth={1.2}
                      cx={x(i)}
                      cy={y}
                      r={5}
                    />
                  );
                })}
              </g>
            );
          })}
        </svg>
      )}
    </div>
  );
});

/** As much of a name as fits at 12 px, by the mean width of a letter. */
function clip(text: string, width: number): string {
  const most = Math.max(4, Math.floor(width / 6.4));
  return text.length <= most
    ? text
    : `${text.slice(0, Math.ceil(most / 2) - 1)}…${text.slice(-Math.floor(most / 2))}`;
}
