import { readFile } from "node:fs/promises";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { env, InferenceSession } from "onnxruntime-web";
import { ExplainedError } from "#errors/explained-error";

const packageName = "@ricky0123/vad-web";
const modelFile = "silero_vad_v6.onnx";

let loading: Promise<InferenceSession> | null = null;

/** The speech model, read from the package that carries it and kept for the life of the process. */
export function sileroModel(): Promise<InferenceSession> {
  loading ??= load().catch((cause: unknown) => {
    loading = null;
    throw cause;
  });
  return loading;
}

async function load(): Promise<InferenceSession> {
  const bytes = await readModel();
  // One thread: a chapter runs in its own process, and the cores are already shared between those.
  env.wasm.numThreads = 1;
  env.logLevel = "error";
  return InferenceSession.create(bytes, { executionProviders: ["wasm"], graphOptimizationLevel: "all" });
}

async function readModel(): Promise<Uint8Array> {
  const tried: string[] = [];
  let last: unknown;
  for (const folder of modelFolders()) {
    const path = join(folder, modelFile);
    try {
      return await readFile(path);
    } catch (cause) {
      tried.push(path);
      last = cause;
    }
  }
  throw new ExplainedError(
    "INTERNAL",
    {
      happened: `The speech model ${modelFile} was not found in the installed package ${packageName}.`,
      means: "Who speaks when cannot be told. Nothing was changed.",
      doNext: "Install the packages again with npm ci, then run the same command.",
    },
    { tried },
    { cause: last },
  );
}

/** Where the package may keep it: beside its main file, or in `dist` under its root. */
function modelFolders(): string[] {
  const require = createRequire(import.meta.url);
  const folders: string[] = [];
  for (const [request, below] of [
    [packageName, "."],
    [`${packageName}/package.json`, "dist"],
  ] as const) {
    try {
      folders.push(join(dirname(require.resolve(request)), below));
    } catch {
      // The other request may still find it; readModel says so if neither does.
    }
  }
  return folders;
}
