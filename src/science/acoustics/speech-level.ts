/** A-weighted level of speech one metre in front of the mouth, dB, by effort. Source: ISO 9921:2003, Table A.1; from memory. */
export const speechLevel = { relaxed: 54, normal: 60, raised: 66 } as const;

/** A talker's directivity to the front, middle of the voice. From memory; the usual figure of sound reinforcement. */
export const talkerDirectivity = 2;

/**
 * How much weaker speech is at an angle off the talker's face than straight in front, decibels, A-weighted.
 *
 * From memory: about 3 dB at the side and 7 dB behind, smooth between.
 */
export const talkerOffAxisLoss = (degrees: number): number => 3.5 * (1 - Math.cos((degrees * Math.PI) / 180));

/** Level at a distance of a source that is known at one metre, dB: free field. */
export const levelAt = (atOneMetre: number, metres: number): number =>
  atOneMetre - 20 * Math.log10(Math.max(0.01, metres));

/**
 * Level of a room's own sound from a source, dB, anywhere in the room.
 *
 * @param atOneMetre - Level one metre from the source, free field, as it would be all round.
 * @param roomConstant - R = A/(1 - α), square metres.
 *
 * Source: Lp = Lw + 10 lg(Q/4πr² + 4/R); at 1 m with Q = 1, Lw = L + 10 lg 4π.
 */
export const reverberantLevel = (atOneMetre: number, roomConstant: number): number =>
  atOneMetre + 10 * Math.log10((16 * Math.PI) / roomConstant);

/** Levels that add in energy, dB. */
export const sumOfLevels = (levels: readonly number[]): number =>
  10 * Math.log10(levels.reduce((sum, level) => sum + 10 ** (level / 10), 0));
