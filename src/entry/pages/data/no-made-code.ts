import { config } from "zod";

// No code is made from text in a page: its policy forbids it, and the browser would tell of the try. A schema tries as it
// is made, so this module is the first that an entry imports.
config({ jitless: true });
