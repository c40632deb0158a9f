/**
 * A recording's own time against the sitting's: local time t is at sitting time `offset + t (1 + ratePpm 1e-6)`.
 * A rate above 0 means that the device's clock runs slow.
 */
export interface DeviceClock {
  readonly offset: number;
  readonly ratePpm: number;
}

export function localToSitting(clock: DeviceClock, local: number): number {
  return clock.offset + local * (1 + clock.ratePpm * 1e-6);
}

export function sittingToLocal(clock: DeviceClock, sitting: number): number {
  return (sitting - clock.offset) / (1 + clock.ratePpm * 1e-6);
}
