import { Fragment, type ReactNode } from "react";
import { splitAtCameras } from "./camera-letters.ts";
import { inReadersFigures } from "./numbers.ts";

/** A figure and its unit: no line may end between them. */
const figureWithUnit =
  /((?:[±−]\s?)?\d[\d.,:]* (?:ms|min|s|h|cm|mm|m|dBTP|dB|LUFS|LU|K|ppm|px|%|units?|stops?)(?!\p{L}))/u;

/** Sets a sentence with the letters of cameras A and B in their hue; the letter itself always stays. */
export function Prose({ text }: { readonly text: string }): ReactNode {
  const parts = splitAtCameras(inReadersFigures(text).replace(/(?<=\p{L})'(?=\p{L})/gu, "’"));
  let at = 0;
  return parts.map((part, i) => {
    const key = at;
    at += part.text.length;
    if (part.camera) {
      const letter = <b className={part.camera === "A" ? "a" : "b"}>{part.text}</b>;
      const word = wordBefore(parts[i - 1]?.text);
      return word ? (
        <span key={key} className="together">
          {word}
          {letter}
        </span>
      ) : (
        <Fragment key={key}>{letter}</Fragment>
      );
    }
    const own = parts[i + 1]?.camera
      ? part.text.slice(0, part.text.length - wordBefore(part.text).length)
      : part.text;
    return <Fragment key={key}>{unbroken(own)}</Fragment>;
  });
}

/** "camera " at the end of what stands before a camera's letter: both stay on one line. */
const wordBefore = (text: string | undefined): string => /\b[Cc]amera $/.exec(text ?? "")?.[0] ?? "";

function unbroken(text: string): ReactNode {
  const pieces = text.split(figureWithUnit);
  if (pieces.length === 1) return text;
  return pieces.map((piece, i) =>
    i % 2 === 0 ? (
      piece
    ) : (
      // biome-ignore lint/suspicious/noArrayIndexKey: pieces of one sentence have no life of their own
      <span key={i} className="together">
        {piece}
      </span>
    ),
  );
}
