import type { ReactNode } from "react";
import type { Said } from "#documents/said";
import { say } from "../data/say.ts";
import { number } from "../words/numbers.ts";
import { Stepped } from "./stepped.tsx";

/** The usual targets, LUFS (LKFS in ATSC A/85 is the same unit), each with the paper that asks for it. */
const targets = [
  // [EBU R 128] v5.0, 2023
  { lufs: -23, text: "broadcast: EBU R 128" },
  // [ATSC A/85] 2013
  { lufs: -24, text: "broadcast in North America: ATSC A/85" },
  // [TD1008] 2021
  { lufs: -18, text: "speech for streaming: AES TD1008" },
  { lufs: -16, text: "beside music, streamed: AES TD1008" },
] as const;

/** How loud the dialogue and the cut are to be. */
export function LoudnessChoice({ said }: { readonly said: Said }): ReactNode {
  const target = said.loudnessTarget;
  const offer = (loudnessTarget: number) => {
    if (loudnessTarget !== target) say({ kind: "loudness", loudnessTarget });
  };
  return (
    <fieldset className="choices">
      <legend>How loud</legend>
      {targets.map(({ lufs, text }) => (
        <label className="tick" key={lufs}>
          <input type="radio" name="loudness" checked={lufs === target} onChange={() => offer(lufs)} />
          <span>
            <span className="tnum">{number(lufs)} LUFS</span>, {text}
          </span>
        </label>
      ))}
      <Stepped
        label="Or another"
        unit="LUFS"
        value={target}
        min={-40}
        max={-5}
        step={1}
        digits={1}
        fewer="quieter"
        more="louder"
        onSay={offer}
      />
    </fieldset>
  );
}
