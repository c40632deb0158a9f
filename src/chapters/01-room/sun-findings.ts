import type { Finding } from "#documents/finding";
import type { SunFigures } from "#documents/room-light-result";
import type { Scene } from "./scene.ts";

const place = (on: SunFigures["reaches"][number]["on"], id: string | null): string => {
  switch (on) {
    case "sitter":
      return "the sitter's face";
    case "chair":
      return "the sitter's chair";
    case "interviewer":
      return "the interviewer's face";
    case "lens":
      return `camera ${id}'s lens`;
    case "background":
      return `the background of camera ${id}`;
  }
};

/** What the sun will do during the hours of the shoot. */
export function sunFindings(figures: SunFigures, scene: Scene): Finding[] {
  return figures.reaches
    .filter(
      (reach) =>
        // The face says it where both are met.
        reach.on !== "chair" ||
        !figures.reaches.some((r) => r.on === "sitter" && r.from <= reach.to && r.to >= reach.from),
    )
    .map(({ on, id, through, from, to }) => {
      const opening = scene.openings.find((o) => o.id === through);
      const name = opening?.name ?? opening?.kind ?? through;
      const matters = on === "sitter" || on === "lens" || on === "background";
      return {
        code: `room.sun-${on}`,
        weight: matters ? ("warn" as const) : ("note" as const),
        says: `Sun reaches ${place(on, id)} at ${from} through the ${name}, and leaves it at ${to}.`,
        remedy:
          on === "lens"
            ? "Flag the lens, or cover the window before then."
            : "Cover the window before then, or film outside those minutes.",
        evidence: {
          where: on === "lens" || on === "background" ? (id ?? through) : through,
          figure: `${from} to ${to}`,
        },
      };
    });
}
