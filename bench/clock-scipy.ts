import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

/** What Debian's python3-scipy makes of two signals: `signal.correlate` over every lag, and its highest place. */
export interface ScipyCorrelation {
  readonly version: string;
  /** Of the correlation alone, the quickest of all runs; loading and reading files are not counted. */
  readonly seconds: number;
  /** Samples by which `second` lies later in `first`. */
  readonly lag: number;
  /** Values at the asked-for lags. */
  readonly values: readonly number[];
}

const script = `
import json, sys, time
import numpy, scipy
from scipy import signal
first, second = (numpy.fromfile(p, dtype=numpy.float32) for p in sys.argv[1:3])
signal.correlate(first[:4096], second[:4096], mode="full", method="fft")
took = float("inf")
for _ in range(int(sys.argv[3])):
  began = time.perf_counter()
  r = signal.correlate(first, second, mode="full", method="fft")
  took = min(took, time.perf_counter() - began)
zero = len(second) - 1
print(json.dumps({"version": scipy.__version__, "seconds": took, "lag": int(numpy.argmax(numpy.abs(r)) - zero),
  "values": [float(r[zero + int(k)]) for k in sys.argv[4:]]}))
`;

let isTold = false;

/**
 * @param times - How often it is run.
 * @returns null where there is no python3 with scipy: said once.
 */
export function scipyCorrelation(
  first: Float32Array,
  second: Float32Array,
  times: number,
  lags: readonly number[] = [],
): ScipyCorrelation | null {
  const folder = mkdtempSync(join(tmpdir(), "gemel-bench-"));
  try {
    const paths = [first, second].map((signal, i) => {
      const path = join(folder, `${i}.f32`);
      writeFileSync(path, new Uint8Array(signal.buffer, signal.byteOffset, signal.byteLength));
      return path;
    });
    // Debian's own, not another that may come first on the path.
    const told = execFileSync("/usr/bin/python3", ["-c", script, ...paths, ...[times, ...lags].map(String)], {
      encoding: "utf8",
      stdio: ["ignore", "pipe", "ignore"],
    });
    return JSON.parse(told) as ScipyCorrelation;
  } catch {
    if (!isTold)
      console.error(
        "Debian's python3-scipy is not here, so nothing is compared with it; `apt-get install python3-scipy` brings it.",
      );
    isTold = true;
    return null;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
