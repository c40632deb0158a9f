import type { Drawing, FigureWords, Mark } from "./marks.ts";

/** One patch, cut in two. Colours for the screen. */
export interface SeamPatch {
  readonly name: string;
  readonly left: string;
  readonly right: string;
  /** CIEDE2000. */
  readonly difference: number;
}

/** Patches halved without a gap, six in a row, with the difference beneath each: where a seam shows, the halves differ. */
export function seamDrawing(
  title: string,
  patches: readonly SeamPatch[],
  width: number,
  words: FigureWords,
): Drawing {
  const [margin, gap, head, foot, across] = [12, 6, 34, 20, 6];
  // Whole units, so that no edge falls between two of a screen's or printer's.
  const size = Math.floor((width - 2 * margin - (across - 1) * gap) / across / 2) * 2;
  const rows = Math.ceil(patches.length / across);
  const height = head + rows * (size + foot) + 6;
  const mean = patches.reduce((sum, p) => sum + p.difference, 0) / Math.max(1, patches.length);
  const marks: Mark[] = [
    { kind: "box", x: 0, y: 0, width, height, look: "mount" },
    { kind: "text", x: margin, y: 22, text: title, look: "head on-mount" },
    {
      kind: "text",
      x: width - margin,
      y: 22,
      text: `differ by ${words.number(mean, 1)}`,
      look: "on-mount",
      anchor: "end",
    },
  ];
  patches.forEach(({ left, right, difference }, i) => {
    const x = margin + (i % across) * (size + gap);
    const y = head + Math.floor(i / across) * (size + foot);
    marks.push({ kind: "box", x, y, width: size / 2, height: size, look: "", fill: left });
    marks.push({ kind: "box", x: x + size / 2, y, width: size / 2, height: size, look: "", fill: right });
    marks.push({
      kind: "text",
      x: x + size / 2,
      y: y + size + 14,
      text: words.number(difference, 1),
      look: "on-mount",
      anchor: "middle",
    });
  });
  const worst = patches.reduce<SeamPatch | null>((w, p) => (!w || p.difference > w.difference ? p : w), null);
  return {
    width,
    height,
    marks,
    says: `${title}: the patches differ by ${words.number(mean, 1)} CIEDE2000 on average${worst ? `, ${worst.name} most, by ${words.number(worst.difference, 1)}` : ""}.`,
  };
}
