/*
 * Recorded areas by the trade's names, width by height, mm. From memory: 35 mm film areas after SMPTE ST 59, 16 mm after
 * SMPTE ST 201, the others as their makers' data sheets agree. A body's own figures are better where they are known.
 */
const formats: readonly (readonly [RegExp, number, number])[] = [
  [/^(full[ -]?frame|36 ?x ?24)$/, 36, 24],
  [/^vista ?vision$/, 37.72, 24.92],
  [/^(super ?35|s35)$/, 24.89, 18.66],
  [/^aps-?c$/, 23.5, 15.6],
  [/^(micro )?four ?thirds$/, 17.3, 13],
  [/^(one|1)[ -]?inch$/, 13.2, 8.8],
  [/^(super ?16|s16)$/, 12.52, 7.41],
  [/^(two[ -]thirds?|2\/3)[ -]?inch$/, 9.6, 5.4],
];

/** Names that are understood, for the sentences of an error. */
export const sensorFormatNames: readonly string[] = [
  "full frame",
  "super 35",
  "APS-C",
  "four thirds",
  "1 inch",
  "super 16",
  "2/3 inch",
];

/**
 * The recorded area of a named format, or of `24.9 x 14` in millimetres.
 *
 * @param text - A name, with or without the shape that is recorded of it: `super 35`, `full frame 16:9`, `36 x 20.25`.
 * @returns Width and height in millimetres, the whole width kept where a wider shape is cut from it; null where it is unknown.
 */
export function sensorFromText(text: string): [number, number] | null {
  const plain = text.trim().toLowerCase().replace(/×/g, "x").replace(/\s+/g, " ");
  const bare = /^(\d+(?:\.\d+)?) ?x ?(\d+(?:\.\d+)?)(?: ?mm)?$/.exec(plain);
  if (bare) return [Number(bare[1]), Number(bare[2])];
  const shape = /^(.*?) (\d+(?:\.\d+)?):(\d+(?:\.\d+)?)$/.exec(plain);
  const name = shape ? shape[1]! : plain;
  const found = formats.find(([pattern]) => pattern.test(name));
  if (!found) return null;
  const [, width, height] = found;
  if (!shape) return [width, height];
  const ratio = Number(shape[2]) / Number(shape[3]);
  return ratio >= width / height ? [width, width / ratio] : [height * ratio, height];
}
