/*
 * Where a body's points lie, as shares of stature: means of men and women.
 *
 * Source: Gordon et al., 1988 Anthropometric Survey of U.S. Army Personnel (NATICK/TR-89/044), means for men and women:
 * stature 175.6 and 162.9 cm, sitting height 91.4 and 85.2, eye height sitting 79.2 and 73.9, acromial height sitting
 * 59.8 and 55.6, biacromial breadth 39.7 and 36.3, interpupillary breadth 6.5 and 6.2, head length 19.7 and 18.7, head
 * breadth 15.2 and 14.4; standing: suprasternale 142.9 of 175.6, chest 127.8, waist (omphalion) 105.6. Values from memory.
 */

/** Above the seat, shares of stature, back upright. */
export const seatedShares = {
  crown: 0.522,
  eyes: 0.452,
  mouth: 0.414,
  shoulders: 0.341,
  collar: 0.33,
  /** Where a lavalier sits: a hand's breadth under the notch of the collarbones. */
  breastbone: 0.3,
  chest: 0.25,
  waist: 0.123,
} as const;

/** What a seated body lacks of its stature between seat and floor. */
export const seatShare: number = 1 - seatedShares.crown;

/** Metres in a head, about alike for every grown person. */
export const headMetres = {
  /** Between the pupils. */
  betweenEyes: 0.064,
  /** Eyes in front of the head's axis. */
  eyesForward: 0.085,
  mouthForward: 0.09,
  breastboneForward: 0.11,
  length: 0.192,
  breadth: 0.148,
  /** From the tip of the nose to the ear's opening: sagittal depth of the face. */
  noseToEar: 0.12,
} as const;

/** Half the breadth between the shoulder points, as a share of stature. */
export const halfShoulderShare = 0.113;

/** A named level of the body. */
export type BodyLevel = keyof typeof seatedShares;

/**
 * Height of a point of the body above the floor.
 *
 * @param level - Which point.
 * @param statureMetres - Standing height.
 * @param seatHeightMetres - Height of the seat; null for a person who stands.
 * @returns Metres above the floor.
 */
export const bodyHeight = (
  level: BodyLevel,
  statureMetres: number,
  seatHeightMetres: number | null,
): number => seatedShares[level] * statureMetres + (seatHeightMetres ?? seatShare * statureMetres);

/** From the shoulder to what the fingers hold, as a share of stature: thumb-tip reach 80 of 175.6 cm (as above, from memory). */
export const armShare = 0.455;
