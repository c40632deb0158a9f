/** What one word of longitudinal timecode says. */
export interface LtcLabel {
  readonly hours: number;
  readonly minutes: number;
  readonly seconds: number;
  readonly frames: number;
  readonly dropFrame: boolean;
  readonly colourFrame: boolean;
  /** The eight groups as one number of 32 bits: user 1 in the lowest four, user 8 in the highest. */
  readonly userBits: number;
  /** Binary group flags 0, 1, 2: what the user bits mean. */
  readonly groupFlags: readonly [bgf0: boolean, bgf1: boolean, bgf2: boolean];
}

/** Where 25-frame words differ: the polarity bit and two group flags change places. */
export type LtcLayout = 25 | 30;

/** Bits of a word. */
export const ltcWordBits = 80;
/** Bits 64 to 79 in order of transmission. [ST12-1] */
export const ltcSyncWord = "0011111111111101";

// [ST12-1] linear timecode word: first bit and length of each field, units and tens.
const fields = {
  frames: [0, 4, 8, 2],
  seconds: [16, 4, 24, 3],
  minutes: [32, 4, 40, 3],
  hours: [48, 4, 56, 2],
} as const;
const userGroupAt = [4, 12, 20, 28, 36, 44, 52, 60] as const;

/** Bit numbers that depend on the rate: at 25 frames a second and at all others. */
export function flagBits(layout: LtcLayout): {
  readonly polarity: number;
  readonly groupFlags: readonly [number, number, number];
} {
  return layout === 25
    ? { polarity: 59, groupFlags: [27, 58, 43] }
    : { polarity: 27, groupFlags: [43, 58, 59] };
}

/**
 * The 80 bits of a label, 0 or 1, bit 0 (sent first) first.
 *
 * The polarity correction bit is set so that the number of zeros is even: every sync word then has one polarity.
 *
 * Source: SMPTE ST 12-1 (2014), linear timecode word. [ST12-1]
 */
export function ltcBits(label: LtcLabel, layout: LtcLayout): Uint8Array {
  const bits = new Uint8Array(ltcWordBits);
  const put = (first: number, length: number, value: number) => {
    for (let i = 0; i < length; i++) bits[first + i] = (value >>> i) & 1;
  };
  for (const name of ["frames", "seconds", "minutes", "hours"] as const) {
    const [units, unitBits, tens, tenBits] = fields[name];
    put(units, unitBits, label[name] % 10);
    put(tens, tenBits, Math.floor(label[name] / 10));
  }
  userGroupAt.forEach((first, group) => {
    put(first, 4, label.userBits >>> (4 * group));
  });
  bits[10] = label.dropFrame ? 1 : 0;
  bits[11] = label.colourFrame ? 1 : 0;
  const { polarity, groupFlags } = flagBits(layout);
  groupFlags.forEach((at, i) => {
    bits[at] = label.groupFlags[i] ? 1 : 0;
  });
  [...ltcSyncWord].forEach((digit, i) => {
    bits[64 + i] = Number(digit);
  });
  bits[polarity] = zerosIn(bits) % 2;
  return bits;
}

/** What 80 bits say, or null where a digit is none or the sync word is not there. */
export function readLtcBits(bits: Uint8Array, layout: LtcLayout): LtcLabel | null {
  for (let i = 0; i < 16; i++) if (bits[64 + i] !== Number(ltcSyncWord[i])) return null;
  const take = (first: number, length: number) => {
    let value = 0;
    for (let i = 0; i < length; i++) value += bits[first + i]! * 2 ** i;
    return value;
  };
  const two = (name: keyof typeof fields, most: number): number => {
    const [units, unitBits, tens, tenBits] = fields[name];
    const unit = take(units, unitBits);
    const value = 10 * take(tens, tenBits) + unit;
    return unit > 9 || value > most ? -1 : value;
  };
  const hours = two("hours", 23);
  const minutes = two("minutes", 59);
  const seconds = two("seconds", 59);
  const frames = two("frames", 29);
  if (hours < 0 || minutes < 0 || seconds < 0 || frames < 0) return null;
  const [f0, f1, f2] = flagBits(layout).groupFlags;
  return {
    hours,
    minutes,
    seconds,
    frames,
    dropFrame: bits[10] === 1,
    colourFrame: bits[11] === 1,
    userBits: userGroupAt.reduce((sum, first, group) => sum + take(first, 4) * 16 ** group, 0),
    groupFlags: [bits[f0] === 1, bits[f1] === 1, bits[f2] === 1],
  };
}

/** Whether the polarity correction is right: an even number of zeros. Some generators leave it out. */
export function hasEvenZeros(bits: Uint8Array): boolean {
  return zerosIn(bits) % 2 === 0;
}

/** `hh:mm:ss:ff`, or `hh:mm:ss;ff` where the word is flagged drop-frame. */
export function ltcText({ hours, minutes, seconds, frames, dropFrame }: LtcLabel): string {
  const [h, m, s, f] = [hours, minutes, seconds, frames].map((n) => String(n).padStart(2, "0"));
  return `${h}:${m}:${s}${dropFrame ? ";" : ":"}${f}`;
}

function zerosIn(bits: Uint8Array): number {
  let zeros = 0;
  for (const bit of bits) if (bit === 0) zeros++;
  return zeros;
}
