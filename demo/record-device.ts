import { recordCamera } from "./record-camera.ts";
import { explainedErrorOr } from "./sent-error.ts";
import type { DemoWish } from "./sitting-plan.ts";

/* The process that records one camera: takes one wish, tells how far it is, ends. */

export interface DeviceOrder {
  readonly device: "A" | "B";
  readonly folder: string;
  readonly wish: DemoWish;
}

export type DeviceNews =
  | { readonly kind: "progress"; readonly done: number; readonly doing: string }
  | { readonly kind: "done" }
  | { readonly kind: "failed"; readonly error: unknown };

const send = (news: DeviceNews): Promise<void> =>
  new Promise((resolve) => {
    if (process.send) process.send(news, undefined, undefined, () => resolve());
    else resolve();
  });

process.once("disconnect", () => process.exit(0));
const stopping = new AbortController();
process.on("message", (order: DeviceOrder | "stop") => {
  if (order === "stop") return stopping.abort();
  // the recorder gives up, and removes what is half-written, when telling fails
  const tell = (done: number, doing: string): void => {
    stopping.signal.throwIfAborted();
    process.send?.({ kind: "progress", done, doing } satisfies DeviceNews);
  };
  recordCamera(order.device, order.folder, order.wish, tell)
    .then(() => send({ kind: "done" }))
    .catch((error: unknown) => send({ kind: "failed", error: explainedErrorOr(error) }))
    .finally(() => process.disconnect());
});
