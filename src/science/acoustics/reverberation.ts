/*
 * Sound that a room keeps. Sabine T = (24 ln 10 / c)·V/A; Eyring T = (24 ln 10 / c)·V/(-S·ln(1 - α) + 4mV).
 * 24 ln 10 / c is 0.161 at the usual 343 m/s.
 */

/** Octave bands that materials are published for, hertz. */
export const octaveBands = [125, 250, 500, 1000, 2000, 4000] as const;

/** 24 ln 10 / c, seconds a metre; c in metres a second. */
const constantOf = (speed: number): number => (24 * Math.LN10) / speed;

/**
 * Reverberation time after Sabine, seconds: for live rooms.
 *
 * @param cubicMetres - Volume.
 * @param absorption - Equivalent absorption area, square metres.
 * @param speed - Of sound, metres a second.
 */
export const sabineSeconds = (cubicMetres: number, absorption: number, speed = 343): number =>
  (constantOf(speed) * cubicMetres) / absorption;

/**
 * Reverberation time after Eyring, seconds: right in deadened rooms too.
 *
 * @param squareMetres - All the room's surfaces.
 * @param meanAlpha - Their mean absorption, 0 to under 1.
 * @param airPerMetre - Energy attenuation of the air, m of 4mV, per metre.
 */
export const eyringSeconds = (
  cubicMetres: number,
  squareMetres: number,
  meanAlpha: number,
  speed = 343,
  airPerMetre = 0,
): number =>
  (constantOf(speed) * cubicMetres) /
  (-squareMetres * Math.log(1 - meanAlpha) + 4 * airPerMetre * cubicMetres);

/** Energy attenuation per metre, m, of a level attenuation in decibels a metre. */
export const energyPerMetre = (decibelsPerMetre: number): number => decibelsPerMetre / (10 * Math.LOG10E);

/**
 * Distance at which the sound straight from a talker and the room's are equally strong, metres: √(Q·A/16π) = 0.141·√(QA).
 *
 * @param directivity - Q of the talker towards the microphone: 1 all round.
 * @param absorption - Equivalent absorption area A, or the room constant A/(1 - α), square metres.
 */
export const criticalDistance = (directivity: number, absorption: number): number =>
  Math.sqrt((directivity * absorption) / (16 * Math.PI));

/** Under this frequency a room's own tones stand apart and statistics fail, hertz: 2000·√(T/V). Source: Schroeder 1962. */
export const schroederHertz = (seconds: number, cubicMetres: number): number =>
  2000 * Math.sqrt(seconds / cubicMetres);
