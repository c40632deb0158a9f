import type { ReactNode } from "react";
import { hear, useHeard } from "../data/hear.ts";
import { clockTime, length } from "../words/times.ts";
import type { BraidCrease } from "./braid-layout.ts";
import type { CreaseRow } from "./crease-rows.ts";

/** What can be done with what was folded away. */
export interface CreaseActs {
  readonly giveBack: (row: { from: number; to: number }) => void;
  /** The dialogue, to hear what was folded away; null where there is none. */
  readonly sound: { readonly address: string; readonly start: number } | null;
}

/** What was folded away at a crease; it opens to the single things said, each to be heard and given back. */
export function Crease({
  crease,
  rows,
  left,
  rowsLeft,
  onFold,
  acts,
  rowHeight,
}: {
  readonly crease: BraidCrease;
  readonly rows: readonly CreaseRow[];
  readonly left: number;
  /** Where the rows begin. */
  readonly rowsLeft: number;
  readonly onFold: () => void;
  readonly acts: CreaseActs | null;
  readonly rowHeight: number;
}): ReactNode {
  const whys = [...new Set(crease.parts.map((p) => p.why))];
  // What a reason lists after its colon is read once it is unfolded.
  const brief = (why: string) => why.split(":")[0]!;
  const label = whys.length > 2 ? `${whys.slice(0, 2).join(", ")} and more` : whys.join(", and ");
  const short =
    whys.length > 2 ? `${whys.slice(0, 2).map(brief).join(", ")} and more` : whys.map(brief).join(", and ");
  const middle = crease.isUnfolded ? crease.y0 + 16 : (crease.y0 + crease.y1) / 2;
  return (
    <>
      <p className="crease-label" style={{ ["--from" as string]: `${left}px`, top: middle - 9 }}>
        <span title={label}>
          <b>{length(crease.seconds)}</b> {short}
        </span>
        <button
          type="button"
          aria-expanded={crease.isUnfolded}
          aria-label={`${crease.isUnfolded ? "fold" : "unfold"}: ${length(crease.seconds)}, ${label}`}
          onClick={onFold}
        >
          {crease.isUnfolded ? "fold" : "unfold"}
        </button>
      </p>
      {crease.isUnfolded && (
        <ul className="unfolded tnum" style={{ left: rowsLeft, top: crease.y0 + 30 }}>
          {rows.map((row) => (
            <Row key={row.from} row={row} acts={acts} height={rowHeight} />
          ))}
        </ul>
      )}
    </>
  );
}

const speakers = { sitter: "the sitter", interviewer: "the interviewer" } as const;

function Row({
  row,
  acts,
  height,
}: {
  readonly row: CreaseRow;
  readonly acts: CreaseActs | null;
  readonly height: number;
}): ReactNode {
  const name = `${row.from} ${row.to}`;
  const isHeard = useHeard() === name;
  const what = row.who ? `${speakers[row.who]}, ${length(row.to - row.from)}` : row.why;
  const tenths = row.to - row.from < 2;
  return (
    <li style={{ height, lineHeight: `${height}px` }}>
      <span className="when">
        {clockTime(row.from, tenths)}–{clockTime(row.to, tenths)}
      </span>
      <span className="what" title={row.text ?? row.why}>
        {what}
        {row.text && <span className="said">: {row.text}</span>}
      </span>
      {acts?.sound && row.who && (
        <button
          type="button"
          aria-label={`${isHeard ? "Stop" : "Hear"} ${what}, ${clockTime(row.from)}`}
          onClick={() =>
            hear(name, acts.sound!.address, row.from - acts.sound!.start, row.to - acts.sound!.start)
          }
        >
          {isHeard ? "stop" : "hear"}
        </button>
      )}
      {acts && (
        <button
          type="button"
          aria-label={`Give back ${what}, ${clockTime(row.from)}`}
          onClick={() => acts.giveBack(row)}
        >
          give back
        </button>
      )}
    </li>
  );
}
