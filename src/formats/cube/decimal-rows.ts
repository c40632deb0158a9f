const longest = 24;
const plainBelow = 2 ** 31 / 1e6;
const [zero, minus, point, space, newLine] = [48, 45, 46, 32, 10];

/**
 * Rows of three numbers with six decimals each, one row a line: what tables of colours are written as, a quarter of
 * a million rows of them.
 *
 * @param at - Where in the table a row's first number stands.
 */
export function decimalRows(count: number, at: (row: number) => number, table: ArrayLike<number>): string {
  const bytes = new Uint8Array(count * 3 * longest);
  let end = 0;
  const digits = new Uint8Array(20);
  const put = (value: number): void => {
    if (!(Math.abs(value) < plainBelow)) {
      for (const character of value.toFixed(6).slice(0, longest - 1)) bytes[end++] = character.charCodeAt(0);
      return;
    }
    let millionths = Math.round(Math.abs(value) * 1e6);
    if (value < 0 && millionths > 0) bytes[end++] = minus;
    let n = 0;
    while (millionths > 0 || n < 7) {
      digits[n++] = zero + (millionths % 10);
      millionths = Math.floor(millionths / 10);
    }
    while (n > 0) {
      if (n === 6) bytes[end++] = point;
      bytes[end++] = digits[--n]!;
    }
  };
  for (let row = 0; row < count; row++) {
    const k = at(row);
    for (let c = 0; c < 3; c++) {
      put(table[k + c]!);
      bytes[end++] = c < 2 ? space : newLine;
    }
  }
  return new TextDecoder().decode(bytes.subarray(0, end));
}
