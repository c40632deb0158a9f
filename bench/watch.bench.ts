import type { SmallPicture } from "#documents/media-reader";
import { lcgNoise } from "#science/signal/lcg-noise";
import { changeBetween, lookAt } from "#watch/look-at";
import { rangesFrom, type Seen } from "#watch/ranges-from";
import type { BenchRow } from "./row.ts";

const width = 480;
const height = 270;
const count = 75;

/** A noisy picture that slides by a pixel from one to the next. */
function picture(at: number, noise: Float32Array): SmallPicture {
  const rgb = new Uint8Array(3 * width * height);
  for (let i = 0; i < rgb.length; i++) rgb[i] = 110 + 60 * noise[(i + 3 * at) % noise.length]!;
  return { atSeconds: at, width, height, rgb };
}

/** A look at each key picture of 75 s against reading the same bytes once. */
export default async function* bench(): AsyncIterable<BenchRow> {
  const noise = lcgNoise(1 << 19);
  const pictures = Array.from({ length: count }, (_, at) => picture(at, noise));
  lookAt(pictures[0]!);
  let from = performance.now();
  let sum = 0;
  for (const { rgb } of pictures) for (const value of rgb) sum += value;
  const plain = performance.now() - from;
  if (sum === 0) throw new Error("the pictures are empty");
  from = performance.now();
  const looks = pictures.map(lookAt);
  const seen: Seen[] = looks.map((look, i) => ({
    ...look,
    change: i > 0 ? changeBetween(looks[i - 1]!, look) : null,
  }));
  rangesFrom(seen, count);
  yield {
    chapter: "watch",
    what: `${count} key pictures of ${width} × ${height} looked at and judged`,
    unit: "ms",
    ours: performance.now() - from,
    reference: "reading their bytes once",
    theirs: plain,
  };
}
