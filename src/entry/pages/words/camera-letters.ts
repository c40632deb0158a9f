/**
 * Splits a sentence at the letters of cameras A and B. "A" is the camera, not the article, after "camera", "to", "on"
 * and the like, and where no small letter follows it.
 */
const camera =
  /(?<![\p{L}\p{N}'’./\\_-])(?:(?<=(?:^|[^\p{L}])(?:[Cc]ameras?|and|or|to|on|of|in|than|from|with|as|at|for|by) )[AB]|B|A(?=[,.;:)]|$|['’]s\b| (?:and|or|to) B\b| (?:is|was|has|took|stayed|carries|held|runs|ran)\b))(?![\p{L}\p{N}_/\\-])(?!['’](?!s\b))(?!\.\p{L})/gu;

export function splitAtCameras(text: string): { readonly text: string; readonly camera: "A" | "B" | null }[] {
  const parts: { text: string; camera: "A" | "B" | null }[] = [];
  let last = 0;
  for (const match of text.matchAll(camera)) {
    if (match.index > last) parts.push({ text: text.slice(last, match.index), camera: null });
    parts.push({ text: match[0], camera: match[0] === "A" ? "A" : "B" });
    last = match.index + 1;
  }
  if (last < text.length) parts.push({ text: text.slice(last), camera: null });
  return parts;
}
