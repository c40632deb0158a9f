import { fileURLToPath } from "node:url";
import react from "@vitejs/plugin-react";
import { defineConfig } from "vite";

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));

/** The pages, built into `dist/pages`; every address in them is relative, so that any path may serve them. */
export default defineConfig({
  root: here("."),
  base: "./",
  publicDir: false,
  plugins: [react()],
  resolve: { conditions: ["source", "module", "browser", "development|production"] },
  build: {
    outDir: here("../../../dist/pages"),
    emptyOutDir: true,
    target: "es2023",
    // Pictures and fonts stay files: an inlined one would need `data:` in the content security policy.
    assetsInlineLimit: 0,
  },
});
