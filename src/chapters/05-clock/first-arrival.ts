import { parabolaTop } from "#science/signal/peak";
import {
  apartSeconds,
  isTop,
  leastSeenShare,
  mostDetourSeconds,
  plainPeerShare,
  quietBeforeSeconds,
  shareOutshone,
  step,
  usualDetourSeconds,
} from "./direct-sound.ts";
import type { Transfer } from "./transfer.ts";

/** An arrival stands this many times above all that lies in the 40 ms before it, as simulated rooms gave it. */
const leastArrivalRise = 1.7;
const arrivalRiseWidth = 0.12;
/** And more the longer the detour of the strongest would have been, per second: long ones are rare. */
const riseBySecond = 12;
/** Softer arrivals than this share of the strongest are taken for what the division left. */
const leastArrivalShare = 0.12;
const arrivalShareWidth = 0.02;
const beforeArrivalSeconds = 0.04;
/** Chance alone reaches this many times the noise among all the lags before an arrival. */
const chanceOverNoise = 4;
/** The strongest must stand this many times above the noise, or the division tells nothing. */
const leastOverTransferNoise = 8;
/** How far one arrival is smeared over its neighbours by the band that was heard, seconds. */
const smearSeconds = 0.003;

/**
 * The direct sound in the way from the near microphone to the far one: the first arrival.
 *
 * @param rateHz - Values of the response per second.
 * @returns where it lies from lag 0, and what the choice leaves open, one standard deviation, both in steps of lag; null
 *   where the response does not stand out from its noise.
 */
export function firstArrival(
  { response, noise, kernel }: Transfer,
  sign: 1 | -1,
  rateHz: number,
): { lag: number; doubt: number } | null {
  const middle = (response.length - 1) / 2;
  const first = middle - Math.round(mostDetourSeconds * rateHz);
  const apart = Math.round(apartSeconds * rateHz);
  const behind = Math.round(beforeArrivalSeconds * rateHz);
  const smear = Math.round(smearSeconds * rateHz);
  const strongest = strongestNear(middle, Math.round(quietBeforeSeconds * rateHz));
  const height = response[strongest]! * sign;
  if (!(height > leastOverTransferNoise * noise)) return null;
  const arrivals: { at: number; share: number; rise: number }[] = [];
  let left = 1;
  for (let i = Math.max(1, first); i < strongest && left > 1e-3; i++) {
    const size = response[i]! * sign;
    if (size < 2 * noise || !isTop(response, i, sign) || mostIn(i + 1, i + apart) > size) continue;
    const rest = size - smearedOnto(i);
    const before = Math.max(chanceOverNoise * noise, mostIn(i - behind, i - apart));
    const sure =
      step(rest / before, leastArrivalRise + (riseBySecond * (strongest - i)) / rateHz, arrivalRiseWidth) *
      step(rest / height, leastArrivalShare, arrivalShareWidth);
    if (sure < 1e-3) continue;
    arrivals.push({ at: i, share: left * sure, rise: rest / before });
    left *= 1 - sure;
  }
  arrivals.push({ at: strongest, share: left, rise: height / mostIn(strongest - behind, strongest - apart) });
  const most = arrivals.reduce((best, arrival) => (arrival.share > best.share ? arrival : best));
  const at = most.at + parabolaTop(response[most.at - 1]!, response[most.at]!, response[most.at + 1]!);
  const variance = arrivals.reduce((all, arrival) => all + arrival.share * (arrival.at - most.at) ** 2, 0);
  // Softer than this share of the strongest, a direct sound before it would not have been seen.
  const unseen =
    (leastArrivalRise * Math.max(chanceOverNoise * noise, mostIn(most.at - behind, most.at - apart))) /
    height;
  const hidden = shareOutshone * Math.min(1, Math.max(0, (unseen - leastSeenShare) / plainPeerShare));
  return { lag: at - middle, doubt: Math.sqrt(variance + hidden * (usualDetourSeconds * rateHz) ** 2) };

  function strongestNear(centre: number, reach: number): number {
    let best = centre;
    for (let i = centre - reach; i <= centre + reach; i++)
      if (response[i]! * sign > response[best]! * sign) best = i;
    return best;
  }

  function mostIn(from: number, end: number): number {
    let most = 0;
    for (let i = Math.max(0, from); i < end; i++) most = Math.max(most, Math.abs(response[i]!));
    return most;
  }

  /** The most that any one arrival after `i` leaves there. */
  function smearedOnto(i: number): number {
    let most = 0;
    for (let j = i + apart; j <= i + smear; j++)
      most = Math.max(most, response[j]! * sign * kernel[middle + i - j]!);
    return most;
  }
}
