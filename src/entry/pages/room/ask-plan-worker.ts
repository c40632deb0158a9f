import type { PlanAnswer, PlanQuestion } from "./plan-worker.ts";

/** A worker of one's own. */
export interface PlanWorker {
  ask(question: PlanQuestion): void;
  end(): void;
}

/** Opens a worker for plans. `failed` is told where this browser cannot. */
export function openPlanWorker(hear: (answer: PlanAnswer) => void, failed: () => void): PlanWorker {
  const worker = new Worker(new URL("./plan-worker.ts", import.meta.url), { type: "module" });
  worker.addEventListener("message", ({ data }: MessageEvent<PlanAnswer>) => hear(data));
  worker.addEventListener("error", failed);
  return { ask: (question) => worker.postMessage(question), end: () => worker.terminate() };
}
