import { describe, expect, it } from "vitest";
import { cheapestWays } from "./cheapest-ways.ts";

/** A floor drawn as text, its first line the farthest up: digits are prices, # is closed. */
function floor(...lines: string[]) {
  const rows = lines.length;
  const columns = lines[0]!.length;
  const price = Uint8Array.from([...lines].reverse().join(""), (c) => (c === "#" ? 0 : Number(c)));
  return { squares: { columns, rows, step: 1 }, price };
}

describe("cheapest ways over a floor of squares", () => {
  it("goes straight, and by the diagonal where that is shorter", () => {
    const { squares, price } = floor("1111", "1111", "1111");
    const { wayFrom } = cheapestWays(squares, price, [0]);
    expect(wayFrom(3)).toEqual([3, 2, 1, 0]);
    expect(wayFrom(10)).toEqual([10, 5, 0]);
  });
  it("goes round what is closed and pays for a dear square only where the way round costs more", () => {
    const closed = floor("111", "1#1", "111");
    expect(cheapestWays(closed.squares, closed.price, [1]).wayFrom(7)).not.toContain(4);
    const dear = floor("191", "191", "191");
    expect(cheapestWays(dear.squares, dear.price, [0]).wayFrom(2)).toEqual([2, 1, 0]);
    const gap = floor("111", "191", "191");
    expect(cheapestWays(gap.squares, gap.price, [0]).wayFrom(2)).not.toContain(1);
  });
  it("goes to the nearest of several goals, and begins in a closed square where something stands in one", () => {
    const { squares, price } = floor("111#1111");
    expect(cheapestWays(squares, price, [0, 7]).wayFrom(5)!.at(-1)).toBe(7);
    expect(cheapestWays(squares, price, [0]).wayFrom(3)).toEqual([3, 2, 1, 0]);
    expect(cheapestWays(squares, price, [0]).wayFrom(5)).toBeNull();
  });
});
