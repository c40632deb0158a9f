import { Fragment, type ReactNode } from "react";
import { splitAtCameras } from "./camera-letters.ts";
import { inReadersFigures } from "./numbers.ts";

/** Sets a sentence with the letters of cameras A and B in their hue; the letter itself always stays. */
export function Prose({ text }: { readonly text: string }): ReactNode {
  let at = 0;
  return splitAtCameras(inReadersFigures(text).replace(/(?<=\p{L})'(?=\p{L})/gu, "’")).map((part) => {
    const key = at;
    at += part.text.length;
    return part.camera ? (
      <b key={key} className={part.camera === "A" ? "a" : "b"}>
        {part.text}
      </b>
    ) : (
      <Fragment key={key}>{part.text}</Fragment>
    );
  });
}
