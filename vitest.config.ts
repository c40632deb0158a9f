import { fileURLToPath } from "node:url";
import { defineConfig } from "vitest/config";

const seeded = fileURLToPath(new URL("test/helpers/one-seed-in-ci.ts", import.meta.url));

export default defineConfig({
  resolve: { conditions: ["source"] },
  ssr: { resolve: { conditions: ["source"] } },
  plugins: [
    {
      // Tests of properties get the library through the file that sets its seed; the other tests never load it.
      name: "one-seed-in-ci",
      enforce: "pre",
      resolveId: (id, importer) => (id === "@fast-check/vitest" && importer !== seeded ? seeded : undefined),
    },
  ],
  test: {
    testTimeout: 120_000,
    hookTimeout: 600_000,
    // Pages and servers are waited for as long as a busy machine may need.
    expect: { poll: { timeout: 20_000 } },
    pool: "forks",
    maxWorkers: 2,
    // A busy machine may be late once; a fault is there twice.
    retry: process.env.CI ? 1 : 0,
    projects: [
      {
        extends: true,
        // Parts hold no state of their own between tests: one process reads each module once, in a third of the time.
        test: { name: "parts", include: ["src/**/*.test.{ts,tsx}", "demo/**/*.test.ts"], isolate: false },
      },
      { extends: true, test: { name: "whole", include: ["test/**/*.test.ts"] } },
    ],
  },
});
