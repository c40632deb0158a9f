import { bodyHeight } from "../people/body-points.ts";

/** How much of a person a shot holds, by the trade's names. */
export type ShotSizeName = "wide" | "cowboy" | "medium" | "medium close-up" | "close-up";

/**
 * What each shot ends at, and the room over the head as a share of the frame's height. Common practice: cut between
 * joints (thigh, waist, chest, collar), less headroom the closer the shot.
 */
const headroom: Record<ShotSizeName, number> = {
  wide: 0.09,
  cowboy: 0.09,
  medium: 0.1,
  "medium close-up": 0.08,
  "close-up": 0.04,
};

/** What a shot asks of the frame, at the sitter. */
export interface ShotFrame {
  /** Height of the frame at the sitter, metres. */
  readonly height: number;
  /** Its lower edge, metres above the floor. */
  readonly bottom: number;
  /** Room over the crown, share of the frame's height. */
  readonly headroom: number;
  /** The eyes' place, share of the frame's height from the top. */
  readonly eyes: number;
}

function bottomOf(shot: ShotSizeName, stature: number, seat: number | null): number {
  const level = (name: "waist" | "chest" | "collar"): number => bodyHeight(name, stature, seat);
  switch (shot) {
    case "wide":
      return -0.05;
    case "cowboy":
      // Mid-thigh: 0.42 of stature standing; seated, under the lap.
      return seat === null ? 0.42 * stature : Math.max(0, seat - 0.06);
    case "medium":
      return level("waist");
    case "medium close-up":
      return level("chest");
    case "close-up":
      return level("collar") - 0.01 * stature;
  }
}

/**
 * The frame that a shot size asks for.
 *
 * @param shot - Name of the shot.
 * @param statureMetres - Standing height of the sitter.
 * @param seatHeightMetres - Of the seat; null stands.
 * @returns Height, lower edge, headroom and place of the eyes. Shot sizes are common practice.
 */
export function shotFrame(
  shot: ShotSizeName,
  statureMetres: number,
  seatHeightMetres: number | null,
): ShotFrame {
  const crown = bodyHeight("crown", statureMetres, seatHeightMetres);
  const bottom = bottomOf(shot, statureMetres, seatHeightMetres);
  const height = (crown - bottom) / (1 - headroom[shot]);
  const eyes = headroom[shot] + (crown - bodyHeight("eyes", statureMetres, seatHeightMetres)) / height;
  return { height, bottom, headroom: headroom[shot], eyes };
}

const names = Object.keys(headroom) as ShotSizeName[];

/**
 * The shot size that a frame of this height at the sitter comes nearest to, by ratio.
 *
 * @returns The name, and how many times taller the frame is than that shot's own.
 */
export function shotOfHeight(
  frameHeightMetres: number,
  statureMetres: number,
  seatHeightMetres: number | null,
): { shot: ShotSizeName; ratio: number } {
  let best: { shot: ShotSizeName; ratio: number } = { shot: "wide", ratio: Number.POSITIVE_INFINITY };
  for (const shot of names) {
    const ratio = frameHeightMetres / shotFrame(shot, statureMetres, seatHeightMetres).height;
    if (Math.abs(Math.log(ratio)) < Math.abs(Math.log(best.ratio))) best = { shot, ratio };
  }
  return best;
}
