/**
 * How far an upright edge leans when it crosses the frame while the sensor is read line by line.
 *
 * @param pixelsPerSecond - Speed across the picture.
 * @param readoutMilliseconds - From the first line read to the last.
 * @returns Pixels between the top and the bottom of the edge.
 */
export const readoutLeanPixels = (pixelsPerSecond: number, readoutMilliseconds: number): number =>
  (pixelsPerSecond * readoutMilliseconds) / 1000;

/**
 * Finest repeat of a pattern at the sitter that a recording carries without false stripes: two pixels (Nyquist).
 *
 * @param frameWidthMetres - Breadth of the frame at the sitter.
 * @param pixelsAcross - Recorded pixels over that breadth.
 * @returns Millimetres from stripe to stripe.
 */
export const finestPatternMm = (frameWidthMetres: number, pixelsAcross: number): number =>
  (2 * 1000 * frameWidthMetres) / pixelsAcross;
