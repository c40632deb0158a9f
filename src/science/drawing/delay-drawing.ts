import { type Drawing, type FigureWords, type Mark, straight, tenth, through } from "./marks.ts";
import { digitsOf, niceTicks, roundTimes, scale } from "./nice-ticks.ts";

/** What one comparison of two recordings heard, window by window; arrays of one length. */
export interface HeardPiece {
  /** Sitting time of each window, seconds. */
  readonly at: readonly number[];
  /** How late the other recording is then against its own start's place, and against the fitted line; milliseconds. */
  readonly delayMs: readonly number[];
  readonly residualMs: readonly number[];
  /** What the fit left each of its say, 0 to 1; 0: left out. */
  readonly say: readonly number[];
}

/** Two recordings that were laid on each other. */
export interface HeardPair {
  /** As people call them. */
  readonly reference: string;
  readonly other: string;
  /** Looks of the other's dots and lines: `fill-b` and `stroke-b`. */
  readonly hue: "a" | "b" | "n";
  /** One, or one for each piece between steps. */
  readonly pieces: readonly HeardPiece[];
}

/**
 * Delays of a pair against time with the fitted line, and beside them what the line leaves, on a scale of its own.
 * Time runs down. Windows that the fit left out are hollow; those off the scale lie at its edge.
 */
export function delayDrawing(
  pair: HeardPair,
  { width, height }: { readonly width: number; readonly height: number },
  words: FigureWords,
): Drawing {
  const all = pair.pieces.flatMap((piece) =>
    piece.at.map((at, i) => ({
      at,
      delay: piece.delayMs[i]!,
      residual: piece.residualMs[i]!,
      say: piece.say[i]!,
    })),
  );
  const used = all.filter(({ say }) => say > 0);
  const shown = used.length > 0 ? used : all;
  const from = Math.min(...all.map(({ at }) => at));
  const to = Math.max(from + 1, ...all.map(({ at }) => at));
  const [top, bottom, left, gap] = [58, height - 8, 42, 34];
  const panel = (width - left - gap - 6) / 2;
  const y = scale(from, to, top + 6, bottom - 4);
  // The line runs on over stretches that were left out, and stays within the scale there too.
  const delays = [
    ...shown.map(({ delay }) => delay),
    ...(used.length > 0 ? all.map(({ delay, residual }) => delay - residual) : []),
  ];
  const span = Math.max(0.2, Math.max(...delays, 0) - Math.min(...delays, 0));
  const delayRange = [Math.min(...delays, 0) - 0.08 * span, Math.max(...delays, 0) + 0.08 * span] as const;
  const rest = Math.max(0.02, 1.15 * Math.max(...shown.map(({ residual }) => Math.abs(residual))));
  const x = scale(delayRange[0], delayRange[1], left, left + panel);
  const second = left + panel + gap;
  const xRest = scale(-rest, rest, second, second + panel);
  const marks: Mark[] = [];
  const text = (
    xAt: number,
    yAt: number,
    words_: string,
    look: string,
    anchor?: "start" | "middle" | "end",
  ): void => {
    marks.push({ kind: "text", x: tenth(xAt), y: tenth(yAt), text: words_, look, ...(anchor && { anchor }) });
  };
  const line = (d: string, look: string): void => {
    marks.push({ kind: "path", d, look });
  };

  text(left, 16, "Late by", "head");
  text(second, 16, "Off the line by", "head");
  for (const [ticks, at, edge] of [
    [niceTicks(delayRange[0], delayRange[1], Math.max(2, Math.floor(panel / 56))), x, left + panel],
    [niceTicks(-rest, rest, Math.max(2, Math.floor(panel / 56))), xRest, second + panel],
  ] as const) {
    const digits = digitsOf(ticks);
    for (const tick of ticks) {
      text(at(tick), 48, tick === 0 ? "0" : words.number(tick, digits), tick === 0 ? "" : "q", "middle");
      line(straight(at(tick), top - 5, at(tick), top), "axis");
    }
    text(edge, 30, "ms", "q", "end");
  }
  for (const start of [left, second]) line(straight(start, top, start + panel, top), "axis");
  for (const time of roundTimes(from, to, 5)) {
    text(0, y(time) + 4, words.moment(time), "q");
    line(straight(left, y(time), left + panel, y(time)), "rule");
    line(straight(second, y(time), second + panel, y(time)), "rule");
  }
  line(straight(x(0), top, x(0), bottom), "dots");
  line(straight(xRest(0), top, xRest(0), bottom), "zero");
  for (const { at, delay, residual, say } of all) {
    const look = say > 0 ? `fill-${pair.hue}` : "open stroke-n";
    const opacity = say > 0 ? tenth(0.3 + 0.5 * say) : 0.55;
    const dot = (px: number, low: number, high: number): void => {
      const held = Math.min(high, Math.max(low, px));
      // Off the scale: a short stroke at the edge, so that nothing that was measured is hidden.
      if (held !== px) line(straight(held - 2, y(at), held + 2, y(at)), "leader");
      else marks.push({ kind: "dot", x: tenth(px), y: tenth(y(at)), r: 1.8, look, opacity });
    };
    dot(x(delay), left, left + panel);
    dot(xRest(residual), second, second + panel);
  }
  pair.pieces.forEach((piece, i) => {
    const fitted = piece.at.map((at, k) => [x(piece.delayMs[k]! - piece.residualMs[k]!), y(at)] as const);
    const ends = [fitted[0], fitted.at(-1)].filter((p) => p !== undefined);
    line(through(ends), `data stroke-${pair.hue}`);
    const before = pair.pieces[i - 1];
    if (!before || piece.at.length === 0 || before.at.length === 0) return;
    const step =
      piece.delayMs[0]! - piece.residualMs[0]! - (before.delayMs.at(-1)! - before.residualMs.at(-1)!);
    const at = (before.at.at(-1)! + piece.at[0]!) / 2;
    line(straight(left, y(at), second + panel, y(at)), "dim");
    text(
      second + panel,
      y(at) - 4,
      `† ${words.number(Math.abs(step), 1)} ms ${step > 0 ? "lost" : "twice"}`,
      "halo",
      "end",
    );
  });
  const scatter = Math.sqrt(
    used.reduce((sum, { residual }) => sum + residual ** 2, 0) / Math.max(1, used.length),
  );
  const steps = pair.pieces.length - 1;
  return {
    width,
    height,
    marks,
    says:
      `${pair.other} on ${pair.reference}: ${used.length} of the ${all.length} stretches shown lie on the line, ` +
      `on average ${words.number(scatter, scatter < 0.1 ? 3 : 2)} ms off it` +
      `${steps > 0 ? `; ${steps === 1 ? "one step" : `${steps} steps`}` : ""}.`,
  };
}
