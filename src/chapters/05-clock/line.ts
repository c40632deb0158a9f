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
