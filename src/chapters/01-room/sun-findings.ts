import type { Finding } from "#documents/finding";
import type { SunFigures } from "#documents/room-light-result";
import { minutesOfClock } from "#science/sun/local-time";
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

/** Sun that passes in fewer minutes is told as a note. */
const passingMinutes = 5;

/** What the sun will do during the hours of the shoot. */
export function sunFindings(figures: SunFigures, scene: Scene): Finding[] {
  const { when } = scene.plan;
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
      const matters =
        (on === "sitter" || on === "lens" || on === "background") &&
        minutesOfClock(to) - minutesOfClock(from) >= passingMinutes;
      const fromStart = from === when?.from;
      const toEnd = to === when?.to;
      return {
        code: `room.sun-${on}`,
        weight: matters ? ("warn" as const) : ("note" as const),
        says: fromStart
          ? `Sun is on ${place(on, id)} from the start, ${from}, through the ${name}, ${toEnd ? "to the end" : `until ${to}`}.`
          : `Sun reaches ${place(on, id)} at ${from} through the ${name}, and ${toEnd ? "is still there at the end" : `leaves it at ${to}`}.`,
        remedy:
          on === "lens"
            ? "Flag the lens, or cover the window before then."
            : fromStart
              ? "Cover the window, or begin later."
              : "Cover the window before then, or pause in those minutes.",
        evidence: {
          where: on === "lens" || on === "background" ? (id ?? through) : through,
          figure: `${from} to ${to}`,
        },
      };
    });
}
