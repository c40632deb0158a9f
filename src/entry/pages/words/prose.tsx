import type { ReactNode } from "react";

/** Where "A" is the camera and not the article: after these words, or where no small letter follows. */
const letter =
  /(?<![\p{L}\p{N}'’./])(?:(?<=(?:^|[^\p{L}])(?:[Cc]ameras?|and|or|to|on|of|in|than|from|with|as|at) )[AB]|B|A(?=[,.;:)]|$| (?:and|or|to) B\b| (?:is|was|has|took|stayed|carries)\b))(?![\p{L}\p{N}'’_/-])(?!\.\w)/gu;

/** Sets a sentence with the letters of cameras A and B in their hue; the letter itself always stays. */
export function Prose({ text }: { readonly text: string }): ReactNode {
  const parts: ReactNode[] = [];
  let last = 0;
  for (const match of text.matchAll(letter)) {
    parts.push(text.slice(last, match.index));
    parts.push(
      <b key={match.index} className={match[0] === "A" ? "a" : "b"}>
        {match[0]}
      </b>,
    );
    last = match.index + match[0].length;
  }
  parts.push(text.slice(last));
  return parts;
}

/** The hue's class of a device: cameras A and B own the only two; everything else is ink. */
export function hue(device: string): "a" | "b" | "n" {
  return device === "A" ? "a" : device === "B" ? "b" : "n";
}

/** A device as people say it. */
export function deviceName(device: string): string {
  return /^[A-Z]$/.test(device)
    ? `Camera ${device}`
    : device.replace(/^sound(\d*)$/, (_, n) => `Recorder${n ? ` ${n}` : ""}`);
}
