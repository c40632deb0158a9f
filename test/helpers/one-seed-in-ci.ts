import { fc } from "@fast-check/vitest";

export * from "@fast-check/vitest";

// A person's runs search on with a new seed each time and print it; a run that decides whether a change may land must
// answer the same for the same change.
if (process.env.CI) fc.configureGlobal({ seed: 20_261_125 });
