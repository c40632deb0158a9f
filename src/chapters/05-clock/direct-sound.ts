import { parabolaTop } from "#science/signal/peak";

/** Correlations of one talker's windows, or another's, laid over each other along one line; lag 0 in the middle. */
export interface Stack {
  readonly sum: Float32Array;
  /** Root mean square of the sum where the windows have nothing in common. */
  readonly noise: number;
}

/** The same windows three ways, all of one length and along one line. */
export interface TalkerStacks {
  /** Windows whose own highest peak lies on the line. */
  readonly own: Stack;
  /** Windows in which the reference is loud: the talker nearest to it. */
  readonly loud: Stack;
  /** Windows in which it hears somebody softly: the other talker, or nobody. */
  readonly soft: Stack;
}

/** A direct sound weaker than its reflections comes this much earlier at most: eight metres of detour. */
export const mostDetourSeconds = 0.025;
/** Share of the highest peak that an earlier one needs to be taken for the direct sound. */
const leastShare = 0.3;
/** Steps between peaks that are two and not one, seconds. */
const apartSeconds = 0.00025;
const leastOverNoise = 5;

/**
 * The direct sound of the talker nearest to the reference.
 *
 * A reflection that outshines it comes later, so an earlier peak in the very same windows that is not much lower
 * is the direct sound; unless it is the other talker's, who came another way: then it is higher in the windows in
 * which the reference hears only softly. Where the peak that was followed is itself the other talker's, the
 * highest that is not takes its place.
 *
 * @param main - Index of the peak that was followed.
 * @param sign - 1, or -1 where one microphone hears the waveform upside down.
 * @param rateHz - Steps of lag per second.
 * @returns the index of the direct sound, and whether it may be another talker's all the same.
 */
export function directSound(
  { own, loud, soft }: TalkerStacks,
  main: number,
  sign: 1 | -1,
  rateHz: number,
): { index: number; isOther: boolean } {
  const reach = Math.round(0.0001 * rateHz);
  const near = (stack: Stack, i: number) => {
    let most = 0;
    for (let k = Math.max(0, i - reach); k <= Math.min(stack.sum.length - 1, i + reach); k++)
      most = Math.max(most, stack.sum[k]! * sign);
    return most;
  };
  const isOther = (i: number) =>
    near(soft, i) > Math.max(1.2 * near(loud, i), leastOverNoise * soft.noise) && soft.noise > 0;
  const detour = Math.round(mostDetourSeconds * rateHz);
  const start = Math.round(main);
  if (!isOther(start)) return { index: earliest(own, main, isOther), isOther: false };
  let best = -1;
  for (let i = Math.max(1, start - detour); i < Math.min(loud.sum.length - 1, start + detour); i++) {
    if (!isTop(loud.sum, i, sign) || loud.sum[i]! * sign < (leastOverNoise + 1) * loud.noise || isOther(i))
      continue;
    if (best < 0 || loud.sum[i]! * sign > loud.sum[best]! * sign) best = i;
  }
  return best < 0 ? { index: main, isOther: true } : { index: earliest(loud, best, isOther), isOther: false };

  function earliest(stack: Stack, from: number, isAnothers: (i: number) => boolean): number {
    const { sum, noise } = stack;
    const least = Math.max(leastShare * sum[Math.round(from)]! * sign, leastOverNoise * noise);
    for (let i = Math.max(1, Math.round(from - detour)); i < from - apartSeconds * rateHz; i++)
      if (sum[i]! * sign >= least && isTop(sum, i, sign) && !isAnothers(i))
        return i + parabolaTop(sum[i - 1]!, sum[i]!, sum[i + 1]!);
    return from + (Number.isInteger(from) ? parabolaTop(sum[from - 1]!, sum[from]!, sum[from + 1]!) : 0);
  }
}

function isTop(x: Float32Array, i: number, sign: number): boolean {
  return x[i]! * sign >= x[i - 1]! * sign && x[i]! * sign > x[i + 1]! * sign;
}
