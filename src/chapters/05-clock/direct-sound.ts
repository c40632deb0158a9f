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

/** Where the direct sound lies. */
export interface DirectSound {
  readonly index: number;
  /** The talker's peak that it was looked for before, which may be a reflection. */
  readonly followed: number;
  /** It may be another talker's all the same. */
  readonly isOther: boolean;
  /** What the choice between it and other peaks leaves open, one standard deviation in steps of lag. */
  readonly doubt: number;
}

/** A direct sound weaker than what follows comes this much earlier at most: twenty metres of detour between walls. */
export const mostDetourSeconds = 0.06;
/** And this much more is looked at, to know what there is before any sound arrives. */
export const quietBeforeSeconds = 0.01;
/** Steps between peaks that are two and not one, seconds. */
export const apartSeconds = 0.00025;
const leastOverNoise = 5;
/** Softer peaks than this are not looked at, as a share of the one that was followed. */
export const leastSeenShare = 0.15;
/** The reference's own reflections draw peaks before the direct sound, up to a third of it, as simulated rooms gave it. */
const leastShare = 0.33;
/** What arrives first stands this many times above everything before it, as simulated rooms gave it. */
const leastRise = 1.6;
/** Peaks that rise less than this above what came before are not even doubted. */
const leastDoubtedRise = 1.25;

/*
 * Where nothing earlier is seen, a direct sound may still be hidden. One that is followed as it should be stands far
 * above its own reflections; where they come near it, one in ten of these is a reflection itself, so that the direct
 * sound lies about two milliseconds before it, unseen if it is softer than what could have been seen. Simulated rooms.
 */
/** How often a plain direct sound is a reflection all the same. */
export const shareOutshone = 0.1;
/** Peers lower than this share leave no doubt. */
export const plainPeerShare = 0.4;
const equalPeerShare = 0.9;
/** How much later a reflection that outshines the direct sound usually comes. */
export const usualDetourSeconds = 0.002;
const peersWithinSeconds = 0.025;
const lostSeconds = 0.02;

/**
 * The direct sound of the talker nearest to the reference.
 *
 * A reflection that outshines it comes later, and before the direct sound there is nothing but what chance and the
 * talker's pitch leave: so it is the first peak, in the very same windows, that stands well above everything
 * earlier; unless it is the other talker's, who came another way: then it is higher in the windows in which the
 * reference hears only softly. Where the peak that was followed is itself the other talker's, the highest that is
 * not takes its place.
 *
 * @param main - Index of the peak that was followed.
 * @param sign - 1, or -1 where one microphone hears the waveform upside down.
 * @param rateHz - Steps of lag per second.
 * @param order - 1 where the reference is the nearer, so that reflections come later; -1 where the other is, and they come
 *   earlier; 0 where neither is, and they stand on both sides: then the peak that was followed is kept.
 * @param kernel - What a single peak of height 1 looks like in these windows, its top in the middle: as long as a stack.
 */
export function directSound(
  stacks: TalkerStacks,
  main: number,
  sign: 1 | -1,
  rateHz: number,
  order: 1 | 0 | -1,
  kernel: Float32Array,
): DirectSound {
  if (order < 0) {
    const flip = (stack: Stack): Stack => ({ ...stack, sum: stack.sum.toReversed() });
    const flipped = { own: flip(stacks.own), loud: flip(stacks.loud), soft: flip(stacks.soft) };
    const last = stacks.own.sum.length - 1;
    const found = directSound(flipped, last - main, sign, rateHz, 1, kernel);
    return { ...found, index: last - found.index, followed: last - found.followed };
  }
  const { own, loud, soft } = stacks;
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
  if (!isOther(start)) return { ...earliest(own, main, isOther), followed: main, isOther: false };
  let best = -1;
  for (let i = Math.max(1, start - detour); i < Math.min(loud.sum.length - 1, start + detour); i++) {
    if (!isTop(loud.sum, i, sign) || loud.sum[i]! * sign < (leastOverNoise + 1) * loud.noise || isOther(i))
      continue;
    if (best < 0 || loud.sum[i]! * sign > loud.sum[best]! * sign) best = i;
  }
  return best < 0
    ? { index: main, followed: main, isOther: true, doubt: 0 }
    : { ...earliest(loud, best, isOther), followed: best, isOther: false };

  function earliest(
    { sum, noise }: Stack,
    from: number,
    isAnothers: (i: number) => boolean,
  ): { index: number; doubt: number } {
    const top = Math.round(from);
    const height = sum[top]! * sign;
    const middle = (kernel.length - 1) / 2;
    // What the followed peak itself draws to its left is no sound.
    const rest = (i: number) => sum[i]! * sign - height * (kernel[i - top + middle] ?? 0);
    const apart = Math.round(apartSeconds * rateHz);
    const first = order === 0 ? top : Math.max(1, top - detour);
    const least = Math.max(leastSeenShare * height, leastOverNoise * noise);
    let before = least / leastRise;
    const last = top - apart;
    // In the order in which they arrive: where each lies, how sure it is to be the first, and how far it rises.
    const arrivals: { at: number; share: number; rise: number }[] = [];
    let left = 1;
    const arrive = (at: number, size: number, sure: number) => {
      arrivals.push({ at, share: left * sure, rise: size / before });
      left *= 1 - sure;
    };
    for (let i = 1; i < last && left > 0.5; i++) {
      if (i > apart && !isAnothers(i - apart)) before = Math.max(before, Math.abs(rest(i - apart)));
      if (i < first || rest(i) < leastDoubtedRise * before || !isTop(sum, i, sign) || isAnothers(i)) continue;
      arrive(i, rest(i), step(rest(i) / before, leastRise, 0.1) * step(rest(i) / height, leastShare, 0.03));
    }
    arrive(from, height, 1);
    const most = arrivals.reduce((best, arrival) => (arrival.share > best.share ? arrival : best));
    const near = Math.round(most.at);
    const direct =
      most.at === near ? near + parabolaTop(sum[near - 1]!, sum[near]!, sum[near + 1]!) : most.at;
    const variance = arrivals.reduce((all, { at, share }) => all + share * (at - direct) ** 2, 0);
    const found = Math.round(direct);
    const own = Math.max(1e-9, sum[found]! * sign);
    let peer = 0;
    const end = Math.min(sum.length, found + Math.round(peersWithinSeconds * rateHz));
    for (let i = found + apart; i < end; i++) peer = Math.max(peer, sum[i]! * sign);
    const likeness = Math.min(
      1,
      Math.max(0, (peer / own - plainPeerShare) / (equalPeerShare - plainPeerShare)),
    );
    const hidden = shareOutshone * likeness * Math.min(1, leastRise / most.rise);
    // Where even the followed peak hardly rises above what came before, the sound may have begun anywhere there.
    const lost = 1 - step(most.rise, leastRise, 0.1);
    const open = hidden * usualDetourSeconds ** 2 + (order === 0 ? 0 : lost * lostSeconds ** 2);
    return { index: direct, doubt: Math.sqrt(variance + open * rateHz ** 2) };
  }
}

/** 0 to 1 about `middle`. */
export function step(x: number, middle: number, width: number): number {
  return 1 / (1 + Math.exp((middle - x) / width));
}

/** A local top of either sign. */
export function isTop(x: Float32Array, i: number, sign: number): boolean {
  return x[i]! * sign >= x[i - 1]! * sign && x[i]! * sign > x[i + 1]! * sign;
}
