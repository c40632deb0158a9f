import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { TimeLimit } from "./time-limit.ts";

describe("TimeLimit", () => {
  beforeEach(() => {
    vi.useFakeTimers();
  });
  afterEach(() => {
    vi.useRealTimers();
  });

  it("grows with the bytes and the seconds of the file", () => {
    const [small, large, long] = [
      new TimeLimit("a.mp4", { bytes: 1e6 }),
      new TimeLimit("a.mp4", { bytes: 1e10 }),
      new TimeLimit("a.mp4", { bytes: 1e6, seconds: 3600 }),
    ];
    expect(small.seconds).toBeLessThan(70);
    expect(large.seconds).toBeGreaterThan(small.seconds + 2000);
    expect(long.seconds).toBeGreaterThan(small.seconds + 3600);
  });

  it("a call that hangs is given up, interrupted, and what it uses is marked as not to be freed", async () => {
    const limit = new TimeLimit("slow.mp4", { bytes: 0 });
    const interrupt = vi.fn();
    limit.onExpiry(interrupt);
    const waiting = limit.guard(new Promise<number>(() => undefined));
    const outcome = expect(waiting).rejects.toMatchObject({
      code: "MEDIA_TOO_SLOW",
      facts: { path: "slow.mp4" },
    });
    await vi.advanceTimersByTimeAsync(limit.stallSeconds * 1000 + 1);
    await outcome;
    expect(interrupt).toHaveBeenCalledOnce();
    expect(limit.isStuck).toBe(true);
  });

  it("many calls may together take no longer than the file is granted; time between them is free", async () => {
    const limit = new TimeLimit("slow.mp4", { bytes: 0 });
    const call = (seconds: number): Promise<unknown> => {
      const waiting = limit.guard(new Promise((resolve) => setTimeout(resolve, seconds * 1000, "done")));
      waiting.catch(() => undefined);
      return vi.advanceTimersByTimeAsync(seconds * 1000).then(() => waiting);
    };
    expect(await call(40)).toBe("done");
    await vi.advanceTimersByTimeAsync(1e7);
    await expect(call(40)).rejects.toMatchObject({ code: "MEDIA_TOO_SLOW" });
    expect(limit.isStuck).toBe(false);
  });
});
