import { fileURLToPath } from "node:url";
import { defineConfig } from "vitest/config";
import { BaseSequencer, type TestSpecification } from "vitest/node";

const seeded = fileURLToPath(new URL("test/helpers/one-seed-in-ci.ts", import.meta.url));

/**
 * What takes longest, first: two cores are then busy to the end. The demo is made for the first; the second needs none of
 * it, and the third makes a demo of its own.
 */
const longest = [
  "test/cli/main-job",
  "test/browser/room",
  "test/cli/long-sitting",
  "test/browser/new-sitting",
  "test/cli/killed",
  "test/browser/page",
];

/** The whole program next, for it takes minutes, and the short tests of its parts fill the cores at the end. */
class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const rank = ({ project, moduleId }: TestSpecification): number => {
      if (project.name !== "whole") return longest.length + 1;
      const place = longest.findIndex((name) => moduleId.includes(`${name}.`));
      return place < 0 ? longest.length : place;
    };
    return (await super.sort(files)).sort((a, b) => rank(a) - rank(b));
  }
}

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
    sequence: { sequencer: LongestFirst },
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
