/**
 * The value of a 16-bit float by its bits; infinities and not-a-number as the largest finite value, for they stand
 * for no light.
 *
 * Source: IEEE 754-2019, binary16.
 */
export function halfFloat(bits: number): number {
  const sign = bits & 0x8000 ? -1 : 1;
  const exponent = (bits >> 10) & 31;
  const fraction = bits & 1023;
  if (exponent === 31) return sign * 65_504;
  if (exponent === 0) return sign * fraction * 2 ** -24;
  return sign * (1 + fraction / 1024) * 2 ** (exponent - 15);
}

/** Where a value lies among the half floats of its sign: bits of the one at or under it in size, and the part to the next. */
export function halfPosition(value: number): { readonly bits: number; readonly part: number } {
  const sign = value < 0 ? 0x8000 : 0;
  const size = Math.min(Math.abs(value), 65_504);
  let low = 0;
  let high = 0x7bff;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (halfFloat(middle) <= size) low = middle;
    else high = middle - 1;
  }
  if (low === 0x7bff) return { bits: sign | low, part: 0 };
  const from = halfFloat(low);
  return { bits: sign | low, part: (size - from) / (halfFloat(low + 1) - from) };
}
