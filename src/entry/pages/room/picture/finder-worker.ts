import "../../data/no-made-code.ts";
import type { FromDesk, Pixels, ToDesk } from "./desk-messages.ts";
import { deskWork } from "./desk-work.ts";
import { openViewfinder, type Viewfinder } from "./viewfinder.ts";

const tell = (news: FromDesk, pixels: Pixels | null = null): void =>
  postMessage(news, { transfer: pixels ? [pixels.data.buffer] : [] });

function open(): Viewfinder | null {
  try {
    return openViewfinder(new OffscreenCanvas(8, 8));
  } catch {
    return null;
  }
}

const finder = open();
tell({ kind: "opened", can: finder !== null });
if (finder) {
  const hear = deskWork(finder, tell, (work, milliseconds) => void setTimeout(work, milliseconds));
  addEventListener("message", ({ data }: MessageEvent<ToDesk>) => hear(data));
}
