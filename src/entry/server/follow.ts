import type { IncomingMessage, ServerResponse } from "node:http";
import type { ServerEvents } from "#documents/routes";
import type { LiveChange } from "#jobs/live-sitting";
import type { Studio } from "#jobs/studio";

const keepAliveMs = 15_000;

export interface Followers {
  /** Answers a request with a stream of server-sent events: the page as it is now, then every change. */
  add(request: IncomingMessage, response: ServerResponse): void;
  close(): void;
}

/** Everybody who follows the open sitting. Each event is put into words once, however many follow. */
export function openFollowers(studio: Studio): Followers {
  const streams = new Set<ServerResponse>();
  const eventText = <Name extends keyof ServerEvents>(name: Name, data: ServerEvents[Name]): string =>
    `event: ${name}\ndata: ${JSON.stringify(data)}\n\n`;
  const textOf = (what: LiveChange): string => {
    const live = studio.live();
    if (what === "said") return eventText("said", live.said());
    return what === "progress" ? eventText("progress", live.progress()) : eventText("sitting", live.page());
  };
  const stop = studio.onChange((what) => {
    if (streams.size === 0) return;
    const text = textOf(what);
    for (const stream of streams) {
      // Whoever cannot keep up misses how the work goes, and nothing else.
      if (what === "progress" && stream.writableNeedDrain) continue;
      stream.write(text);
    }
  });
  const beat = setInterval(() => {
    for (const stream of streams) stream.write(": still here\n\n");
  }, keepAliveMs).unref();
  return {
    add(request, response) {
      response.writeHead(200, {
        "Content-Type": "text/event-stream; charset=utf-8",
        "Cache-Control": "no-store",
      });
      streams.add(response);
      request.on("close", () => streams.delete(response));
      response.on("error", () => streams.delete(response));
      response.write(textOf("sitting"));
    },
    close() {
      stop();
      clearInterval(beat);
      for (const stream of streams) stream.destroy();
    },
  };
}
