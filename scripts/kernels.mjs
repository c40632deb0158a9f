// npm run kernels: writes src/science/signal/simd/kernel-bytes.ts from kernels.wat beside it. A test compares the two.
import { readFile, writeFile } from "node:fs/promises";
import wabt from "wabt";

const folder = new URL("../src/science/signal/simd/", import.meta.url);
const { parseWat } = await wabt();
const module = parseWat("kernels.wat", await readFile(new URL("kernels.wat", folder), "utf8"), {
  simd: true,
  sat_float_to_int: true,
});
module.validate();
const base64 = Buffer.from(module.toBinary({}).buffer).toString("base64");
await writeFile(
  new URL("kernel-bytes.ts", folder),
  `/** kernels.wat as WebAssembly, base64: written by \`npm run kernels\`. */
export const kernelBytes =
  "${base64}";
`,
);
