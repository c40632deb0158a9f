import type { Plan } from "#documents/plan";
import type { CameraView } from "./camera-view.ts";
import type { FromDesk, Pixels, Screen, ToDesk } from "./desk-messages.ts";

/** One picture on the page. */
export interface FinderScreen {
  readonly canvas: HTMLCanvasElement;
  readonly view: CameraView;
  /** Pixels across when it is finished. */
  readonly width: number;
  /** Around the frame: a share of it. */
  readonly around: number;
  /** Called when there is something to see. */
  painted(): void;
}

/** A picture that stays on the page until it is let go. */
export interface ShownScreen {
  /** Shows another view, coarsely first. */
  look(view: CameraView): void;
  letGo(): void;
}

/** Has every picture of the page rendered by one worker: coarsely while things move, finely when they rest. */
export interface FinderDesk {
  show(screen: FinderScreen): ShownScreen;
  /** The room is this plan now, at this minute of its day; in a drag, with these parts changed. */
  see(plan: Plan, change: Partial<Plan> | null, minute: number): void;
  /** One camera's whole picture, finely, with the edge of its frame, as a PNG at most this wide; null where there is no room yet. */
  take(camera: string, width: number, around: number): Promise<Blob | null>;
}

/** What lies outside the frame under a veil, and the frame's edge, as the page shows it. */
function drawEdge(canvas: HTMLCanvasElement, around: number): void {
  const pen = canvas.getContext("2d")!;
  const { width, height } = canvas;
  const [x, y] = [(width * around) / (2 * (1 + around)), (height * around) / (2 * (1 + around))];
  pen.fillStyle = "rgb(255 255 255 / 0.35)";
  pen.beginPath();
  pen.rect(0, 0, width, height);
  pen.rect(x, y, width - 2 * x, height - 2 * y);
  pen.fill("evenodd");
  pen.strokeStyle = "#fff";
  pen.lineWidth = Math.max(1, width / 640);
  pen.strokeRect(x, y, width - 2 * x, height - 2 * y);
}

function put(canvas: HTMLCanvasElement, { width, height, data }: Pixels): void {
  if (canvas.width !== width || canvas.height !== height) Object.assign(canvas, { width, height });
  canvas.getContext("2d")!.putImageData(new ImageData(data, width, height), 0, 0);
}

/** Opens the desk; null where this browser cannot render in a worker. */
export async function openDesk(): Promise<FinderDesk | null> {
  if (typeof OffscreenCanvas === "undefined") return null;
  const worker = new Worker(new URL("./finder-worker.ts", import.meta.url), { type: "module" });
  const ask = (asked: ToDesk): void => worker.postMessage(asked);
  const screens = new Map<number, { screen: FinderScreen; told: Screen }>();
  const takers: ((pixels: Pixels | null) => void)[] = [];
  let last: { plan: Plan; change: Partial<Plan> | null; minute: number } | null = null;
  let next = 0;
  const hear = (news: FromDesk): void => {
    if (news.kind === "taken") takers.shift()?.(news.pixels);
    if (news.kind !== "picture") return;
    const screen = screens.get(news.id)?.screen;
    if (!screen) return;
    put(screen.canvas, news.pixels);
    if (news.isFinished) screen.canvas.dataset["finished"] = "yes";
    else delete screen.canvas.dataset["finished"];
    screen.painted();
  };
  const can = await new Promise<boolean>((resolve) => {
    worker.addEventListener("message", ({ data }: MessageEvent<FromDesk>) => {
      if (data.kind === "opened") resolve(data.can);
      else hear(data);
    });
    worker.addEventListener("error", () => resolve(false));
  });
  if (!can) {
    worker.terminate();
    return null;
  }
  const tellOf = (id: number, part: Partial<Screen>): void => {
    const known = screens.get(id);
    if (!known) return;
    known.told = { ...known.told, ...part };
    ask({ kind: "screen", screen: known.told });
  };
  return {
    show: (screen) => {
      const id = next++;
      const { view, width, around, canvas } = screen;
      screens.set(id, { screen, told: { id, view, width, around, isInView: false } });
      // What is scrolled away waits until it is looked at.
      const watcher = new IntersectionObserver(([entry]) => tellOf(id, { isInView: entry!.isIntersecting }), {
        rootMargin: "80px",
      });
      watcher.observe(canvas);
      return {
        look: (other) => {
          delete canvas.dataset["finished"];
          tellOf(id, { view: other });
        },
        letGo: () => {
          watcher.disconnect();
          screens.delete(id);
          ask({ kind: "gone", id });
        },
      };
    },
    see: (plan, change, minute) => {
      if (last?.plan === plan && last.minute === minute && last.change === change) return;
      // The whole of a plan goes over once: copied with each step of a drag it would cost more than the step.
      if (last?.plan !== plan) ask({ kind: "on", plan });
      last = { plan, change, minute };
      for (const { screen } of screens.values()) delete screen.canvas.dataset["finished"];
      ask({ kind: "see", change, minute });
    },
    take: async (camera, width, around) => {
      if (!last) return null;
      const taken = new Promise<Pixels | null>((resolve) => takers.push(resolve));
      ask({ kind: "take", camera, width, around });
      const pixels = await taken;
      if (!pixels) return null;
      const canvas = document.createElement("canvas");
      put(canvas, pixels);
      drawEdge(canvas, around);
      return await new Promise<Blob | null>((done) => canvas.toBlob(done, "image/png"));
    },
  };
}
