import { defineConfig } from "vitest/config";

export default defineConfig({
  resolve: { conditions: ["source"] },
  ssr: { resolve: { conditions: ["source"] } },
  test: {
    include: ["src/**/*.test.{ts,tsx}", "demo/**/*.test.ts", "test/**/*.test.ts"],
    setupFiles: ["test/helpers/one-seed-in-ci.ts"],
    testTimeout: 120_000,
    hookTimeout: 600_000,
    // Pages and servers are waited for as long as a busy machine may need.
    expect: { poll: { timeout: 20_000 } },
    pool: "forks",
    maxWorkers: 2,
    // A busy machine may be late once; a fault is there twice.
    retry: process.env.CI ? 1 : 0,
  },
});
