/** A clock against another: reference time = offset + t (1 + ratePpm / 10^6), t in local seconds. */
export interface ClockLine {
  readonly offset: number;
  readonly ratePpm: number;
}

export function referenceTime(line: ClockLine, localSeconds: number): number {
  return line.offset + localSeconds * (1 + line.ratePpm * 1e-6);
}

export function localTime(line: ClockLine, referenceSeconds: number): number {
  return (referenceSeconds - line.offset) / (1 + line.ratePpm * 1e-6);
}

/** The line of `inner` (local to middle) followed by `outer` (middle to reference). */
export function chained(outer: ClockLine, inner: ClockLine): ClockLine {
  return {
    offset: referenceTime(outer, inner.offset),
    ratePpm: ((1 + outer.ratePpm * 1e-6) * (1 + inner.ratePpm * 1e-6) - 1) * 1e6,
  };
}

/** The same relation read the other way. */
export function reversed(line: ClockLine): ClockLine {
  const rate = 1 / (1 + line.ratePpm * 1e-6);
  return { offset: -line.offset * rate, ratePpm: (rate - 1) * 1e6 };
}
