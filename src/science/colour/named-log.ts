/** The parameters of a camera's log curve, by the names of SMPTE ST 2136-1 (style cameraLinToLog). */
export interface NamedLog {
  /** The base of the logarithm; usually 2 or 10. Above 0, not 1. */
  readonly base: number;
  readonly logSideSlope: number;
  readonly logSideOffset: number;
  readonly linSideSlope: number;
  readonly linSideOffset: number;
  /** Below this light the curve is straight; without it there is no straight part. */
  readonly linSideBreak?: number;
  /** Slope of the straight part; by default that of the logarithm where they meet. */
  readonly linearSlope?: number;
}

// SMPTE ST 2136-1: arguments of logarithms are floored at the least normal float.
const least = 1.175494e-38;

/** Light to code value. Source: SMPTE ST 2136-1, Log, styles linToLog and cameraLinToLog. */
export function linearToNamedLog(log: NamedLog, light: number): number {
  const { linSideBreak } = log;
  if (linSideBreak !== undefined && light <= linSideBreak) {
    const { slope, offset } = straightPart(log, linSideBreak);
    return slope * light + offset;
  }
  return logPart(log, light);
}

/** Code value to light: the way back. Source: SMPTE ST 2136-1, Log, styles logToLin and cameraLogToLin. */
export function namedLogToLinear(log: NamedLog, code: number): number {
  const { linSideBreak } = log;
  if (linSideBreak !== undefined && code <= logPart(log, linSideBreak)) {
    const { slope, offset } = straightPart(log, linSideBreak);
    return (code - offset) / slope;
  }
  return (log.base ** ((code - log.logSideOffset) / log.logSideSlope) - log.linSideOffset) / log.linSideSlope;
}

function logPart(log: NamedLog, light: number): number {
  const inside = Math.max(log.linSideSlope * light + log.linSideOffset, least);
  return (log.logSideSlope * Math.log(inside)) / Math.log(log.base) + log.logSideOffset;
}

function straightPart(log: NamedLog, at: number): { slope: number; offset: number } {
  const slope =
    log.linearSlope ??
    (log.logSideSlope * log.linSideSlope) /
      ((log.linSideSlope * at + log.linSideOffset) * Math.log(log.base));
  return { slope, offset: logPart(log, at) - slope * at };
}
