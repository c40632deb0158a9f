import type { Plan } from "#documents/plan";
import type { Contradiction } from "#documents/room-result";
import { materials as knownMaterials, materialOf } from "#science/acoustics/materials";
import { boxOutline, distanceToBox } from "#science/geometry/box";
import { distanceToEdge, edgesCross, isInside, signedArea } from "#science/geometry/polygon";
import { lengthWords } from "#science/units/length-words";
import { openSentence } from "#science/units/number-words";
import { contradiction as pair } from "./contradiction.ts";
import { kitContradictions } from "./contradictions-kit.ts";
import { theThing } from "./thing-words.ts";

/**
 * Every two things of a plan that cannot both be true: a window wider than its wall, a chair in a cupboard, a camera
 * whose lens is not in the kit.
 *
 * @returns One entry a pair; nothing for a plan that can stand.
 */
export function contradictionsOf(plan: Plan): Contradiction[] {
  return [
    ...roomContradictions(plan),
    ...openingContradictions(plan),
    ...placeContradictions(plan),
    ...furnitureContradictions(plan),
    ...materialContradictions(plan),
    ...hourContradictions(plan),
    ...kitContradictions(plan),
  ];
}

function roomContradictions(plan: Plan): Contradiction[] {
  const { outline } = plan.room;
  const found: Contradiction[] = [];
  const n = outline.length;
  for (let i = 0; i < n; i++)
    for (let j = i + 1; j < n; j++) {
      if (j === i + 1 || (i === 0 && j === n - 1)) continue;
      if (edgesCross(outline[i]!, outline[(i + 1) % n]!, outline[j]!, outline[(j + 1) % n]!))
        found.push(
          pair(
            "walls-cross",
            [`wall-${i}`, `wall-${j}`],
            `Wall ${i} and wall ${j} of the room cross each other.`,
            "Give the corners in the order in which you would walk along the walls.",
          ),
        );
    }
  if (found.length === 0 && Math.abs(signedArea(outline)) < 0.5)
    found.push(
      pair(
        "room-flat",
        ["wall-0", "wall-1"],
        "The room's corners lie on a line: it has no floor.",
        "Check whether a corner's two numbers are in metres, x before y.",
      ),
    );
  return found;
}

type Spot = readonly [number, number];

const named = (thing: { readonly id: string; readonly name?: string | undefined }, kind: string): string =>
  theThing(thing.name ?? `${kind.replace(/^the /, "")} ${thing.id}`);

/** What hides a rounding in the last figure given, metres. */
const slack = 0.005;

function openingContradictions(plan: Plan): Contradiction[] {
  const { room, units } = plan;
  const found: Contradiction[] = [];
  for (const [k, opening] of room.openings.entries()) {
    const name = named(opening, `the ${opening.kind}`);
    const from = room.outline[opening.wall];
    if (!from) {
      found.push(
        pair(
          "no-such-wall",
          [opening.id, `wall-${opening.wall}`],
          `${openSentence(name)} is in wall ${opening.wall}, and the room has ${room.outline.length} walls, 0 to ${room.outline.length - 1}.`,
          "Name the wall by the number of its first corner.",
        ),
      );
      continue;
    }
    const to = room.outline[(opening.wall + 1) % room.outline.length]!;
    const metres = Math.hypot(to[0] - from[0], to[1] - from[1]);
    if (opening.from + opening.width > metres + slack)
      found.push(
        pair(
          "opening-past-wall",
          [opening.id, `wall-${opening.wall}`],
          `${openSentence(name)} reaches to ${lengthWords(opening.from + opening.width, units)} along wall ${opening.wall}, which is ${lengthWords(metres, units)} long.`,
          "Check the opening's place and width, or the wall's corners.",
        ),
      );
    if (opening.sill + opening.height > room.height + slack)
      found.push(
        pair(
          "opening-past-ceiling",
          [opening.id, "ceiling"],
          `${openSentence(name)} reaches to ${lengthWords(opening.sill + opening.height, units)}, and the ceiling is at ${lengthWords(room.height, units)}.`,
          "Check the sill and the height.",
        ),
      );
    for (const other of room.openings.slice(k + 1)) {
      const across =
        Math.min(opening.from + opening.width, other.from + other.width) - Math.max(opening.from, other.from);
      const upright =
        Math.min(opening.sill + opening.height, other.sill + other.height) -
        Math.max(opening.sill, other.sill);
      if (other.wall === opening.wall && across > slack && upright > slack)
        found.push(
          pair(
            "openings-overlap",
            [opening.id, other.id],
            `${openSentence(name)} and ${named(other, `the ${other.kind}`)} overlap by ${lengthWords(across, units)} in wall ${opening.wall}.`,
            "Move one of them along the wall.",
          ),
        );
    }
  }
  return found;
}

/** Everything that stands on the floor, with words for it. */
function standing(plan: Plan): { id: string; name: string; at: Spot; reach: number }[] {
  return [
    { id: "sitter", name: "The sitter", at: plan.sitter.at, reach: 0.2 },
    { id: "interviewer", name: "The interviewer", at: plan.interviewer.at, reach: 0.2 },
    ...plan.cameras.map((c) => ({ id: c.id, name: `Camera ${c.id}`, at: c.at, reach: 0.1 })),
    ...plan.lights.map((l) => ({ id: l.id, name: `Light ${l.id}`, at: l.at, reach: 0.1 })),
    ...plan.microphones.flatMap((m) =>
      m.standAt ? [{ id: m.id, name: `The stand of ${m.id}`, at: m.standAt, reach: 0.1 }] : [],
    ),
    ...plan.slides.flatMap((s) => [
      {
        id: s.id,
        name: `The start of camera ${s.camera}'s rail`,
        at: [s.from[0], s.from[1]] as const,
        reach: 0.1,
      },
      { id: s.id, name: `The end of camera ${s.camera}'s rail`, at: [s.to[0], s.to[1]] as const, reach: 0.1 },
    ]),
  ];
}

/** A column of a person or a stand under which a shelf or a lamp may hang, metres. */
const overhead = 1.9;

function placeContradictions(plan: Plan): Contradiction[] {
  const { room, units } = plan;
  const found: Contradiction[] = [];
  const things = standing(plan);
  for (const [k, thing] of things.entries()) {
    const [x, y] = thing.at;
    if (!isInside(room.outline, x, y)) {
      found.push(
        pair(
          "outside-room",
          [thing.id, "room"],
          `${thing.name} is ${lengthWords(distanceOutside(plan, x, y), units)} outside the room.`,
          "Move it inside the walls, or move the wall.",
        ),
      );
      continue;
    }
    for (const piece of room.furniture)
      if (piece.base < overhead && distanceToBox(piece, x, y) === 0 && !sitsOn(plan, thing.id, piece))
        found.push(
          pair(
            "inside-furniture",
            [thing.id, piece.id],
            `${thing.name} and ${theThing(piece.name)} are in one place.`,
            "Move one of the two.",
          ),
        );
    for (const other of things.slice(k + 1)) {
      const gap = Math.hypot(other.at[0] - x, other.at[1] - y);
      if (
        other.id !== thing.id &&
        gap < thing.reach + other.reach - 0.1 + slack &&
        !rides(plan, thing.id, other.id)
      )
        found.push(
          pair(
            "one-place",
            [thing.id, other.id],
            `${thing.name} and ${other.name.replace(/^The/, "the")} are ${lengthWords(gap, units)} apart: in one place.`,
            "Move one of the two.",
          ),
        );
    }
  }
  for (const [id, name, height] of heights(plan))
    if (height > room.height)
      found.push(
        pair(
          "above-ceiling",
          [id, "ceiling"],
          `${openSentence(name)} is at ${lengthWords(height, units)}, and the ceiling at ${lengthWords(room.height, units)}.`,
          "Lower it, or check the room's height.",
        ),
      );
  return found;
}

/** A chair or a bench that a person sits on is drawn under that person. */
const sitsOn = (plan: Plan, id: string, piece: Plan["room"]["furniture"][number]): boolean => {
  const person = id === "sitter" ? plan.sitter : id === "interviewer" ? plan.interviewer : null;
  // Its top may be the seat, or the chair's back above it.
  return person?.seatHeight != null && piece.base < person.seatHeight && piece.size[2] + piece.base < 1.3;
};

const rides = (plan: Plan, a: string, b: string): boolean =>
  plan.slides.some((s) => (s.id === a && s.camera === b) || (s.id === b && s.camera === a));

function distanceOutside(plan: Plan, x: number, y: number): number {
  const { outline } = plan.room;
  return Math.min(
    ...outline.map((from, i) => distanceToEdge(from, outline[(i + 1) % outline.length]!, x, y)),
  );
}

function heights(plan: Plan): [string, string, number][] {
  return [
    ...plan.cameras.map((c): [string, string, number] => [c.id, `Camera ${c.id}`, c.height ?? 0]),
    ...plan.lights.map((l): [string, string, number] => [l.id, `Light ${l.id}`, l.height]),
    ...plan.microphones.map((m): [string, string, number] => [m.id, `Microphone ${m.id}`, m.at?.[2] ?? 0]),
    ...plan.slides.map((s): [string, string, number] => [
      s.id,
      `The rail of camera ${s.camera}`,
      Math.max(s.from[2], s.to[2]),
    ]),
    ...plan.room.furniture.map((f): [string, string, number] => [
      f.id,
      openSentence(theThing(f.name)),
      f.base + f.size[2] - slack,
    ]),
  ];
}

function furnitureContradictions(plan: Plan): Contradiction[] {
  const { room, units } = plan;
  const found: Contradiction[] = [];
  for (const piece of room.furniture) {
    const corners = boxOutline(piece);
    const out = corners
      .filter(([x, y]) => !isInside(room.outline, x, y))
      .map(([x, y]) => distanceOutside(plan, x, y));
    const most = Math.max(0, ...out);
    if (most > 0.02)
      found.push(
        pair(
          "furniture-through-wall",
          [piece.id, "room"],
          `${openSentence(theThing(piece.name))} reaches ${lengthWords(most, units)} through the wall.`,
          "Move it, turn it, or check its size: width, depth, height.",
        ),
      );
    for (const opening of room.openings) {
      if (opening.kind === "window") continue;
      const from = room.outline[opening.wall];
      const to = room.outline[(opening.wall + 1) % room.outline.length];
      if (!from || !to) continue;
      const metres = Math.hypot(to[0] - from[0], to[1] - from[1]) || 1;
      const along = opening.from + opening.width / 2;
      const middle: Spot = [
        from[0] + ((to[0] - from[0]) / metres) * along,
        from[1] + ((to[1] - from[1]) / metres) * along,
      ];
      const isLow = piece.base < opening.sill + Math.min(opening.height, overhead);
      if (
        isLow &&
        piece.base + piece.size[2] > opening.sill &&
        distanceToBox(piece, middle[0], middle[1]) < 0.1
      )
        found.push(
          pair(
            "furniture-in-door",
            [piece.id, opening.id],
            `${openSentence(theThing(piece.name))} blocks ${named(opening, `the ${opening.kind}`)}.`,
            "Move the furniture, or the opening along its wall.",
          ),
        );
    }
  }
  return found;
}

function materialContradictions(plan: Plan): Contradiction[] {
  const { materials, furniture } = plan.room;
  const named: [string, string][] = [
    ["the walls", materials.walls],
    ["the floor", materials.floor],
    ["the ceiling", materials.ceiling],
    ...Object.entries(materials.ofWall ?? {}).map(([wall, id]): [string, string] => [`wall ${wall}`, id]),
    ...furniture.flatMap((f): [string, string][] =>
      f.material === undefined ? [] : [[theThing(f.name), f.material]],
    ),
  ];
  return named
    .filter(([, id]) => materialOf(id) === undefined)
    .map(([what, id]) =>
      pair(
        "no-such-material",
        [what, id],
        `${openSentence(what)} ${/s$/.test(what) ? "are" : "is"} of ${id}, which the table of materials does not have.`,
        `Take one of these: ${knownMaterials.map((m) => m.id).join(", ")}.`,
      ),
    );
}

function hourContradictions({ when }: Plan): Contradiction[] {
  if (!when || when.from < when.to) return [];
  return [
    pair(
      "hours-backwards",
      ["from", "to"],
      `The shoot is to begin at ${when.from} and to end at ${when.to} of the same day.`,
      "Put the earlier hour first.",
    ),
  ];
}
