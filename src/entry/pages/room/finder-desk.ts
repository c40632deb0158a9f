import type { Scene, SceneCamera } from "#room/scene";
import { type Daylight, type RoomModel, roomModel } from "./room-model.ts";
import { type Exposure, openViewfinder, type Viewfinder } from "./viewfinder.ts";

/** Samples of a picture at rest. */
const fineSamples = { graphics: 48, software: 12 };
/** Work a frame at rest, and between two looks at a picture in the making, ms. */
const workMs = 10;
const showEvery = 6;
const coarseWidth = 320;
/** Across a picture to be kept, where the processor draws it: it should not take half a minute. */
const softwareWidth = 960;
const restMs = 150;

/** One picture on the page. */
export interface FinderScreen {
  readonly canvas: HTMLCanvasElement;
  /** The camera as it stands now; null: nothing to show. */
  camera(scene: Scene): SceneCamera | null;
  /** Pixels across when it is finished. */
  readonly width: number;
  /** Around the frame: a share of it. */
  readonly around?: number;
  /** Called when there is something to see. */
  painted?(): void;
}

/** Renders every screen of the page with one graphics context: coarsely while things move, finely when they rest. */
export interface FinderDesk {
  show(screen: FinderScreen): () => void;
  see(scene: Scene, daylight: Daylight, isMoving: boolean): void;
  /** The cameras have moved, the room has not: every picture coarsely, now. */
  redraw(): void;
  /** One camera's whole picture, finely, with the edge of its frame, as a PNG at most this wide; null where there is no room yet. */
  take(camera: string, width: number, around: number): Promise<Blob | null>;
  /** The last coarse round, ms: how long all screens took. */
  coarseMs(): number;
}

const isInView = (canvas: HTMLCanvasElement): boolean => {
  const { top, bottom } = canvas.getBoundingClientRect();
  return bottom > -80 && top < innerHeight + 80;
};

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

/** @throws Error where the browser has no WebGL2. */
export function openDesk(): FinderDesk {
  const finder: Viewfinder = openViewfinder();
  const screens = new Map<FinderScreen, { exposure: Exposure | null; isDone: boolean }>();
  let seen: { scene: Scene; daylight: Daylight } | null = null;
  let built: { scene: Scene; daylight: Daylight; model: RoomModel } | null = null;
  let isMoving = false;
  let isPlaying = false;
  let resting: ReturnType<typeof setTimeout> | undefined;
  let frame = 0;
  let coarse = 0;
  /** The finder makes one picture at a time; another one begun drops it. */
  let onTheDesk: FinderScreen | null = null;
  let isTaking = false;

  const model = (): RoomModel | null => {
    if (!seen) return null;
    if (built && built.scene === seen.scene && built.daylight === seen.daylight) return built.model;
    built?.model.dispose();
    built = { ...seen, model: roomModel(seen.scene, seen.daylight) };
    return built.model;
  };
  const ask = (): void => {
    if (frame === 0) frame = requestAnimationFrame(work);
  };
  addEventListener("scroll", ask, { passive: true });
  const work = (): void => {
    frame = 0;
    const room = isTaking ? null : model();
    if (!room || !seen) return;
    const from = performance.now();
    if (isMoving || isPlaying) {
      isPlaying = false;
      for (const [screen, state] of screens) {
        const camera = screen.camera(seen.scene);
        if (!camera) continue;
        const exposure = finder.expose(room, camera, {
          width: Math.min(coarseWidth, screen.width),
          samples: 1,
          ...(screen.around === undefined ? {} : { around: screen.around }),
        });
        exposure.go(0);
        exposure.show(screen.canvas);
        screen.painted?.();
        Object.assign(state, { exposure: null, isDone: false });
      }
      onTheDesk = null;
      coarse = performance.now() - from;
      // Fine pictures come once nothing has moved for a while.
      if (!isMoving) resting = setTimeout(ask, restMs);
      return;
    }
    for (const [screen, state] of screens) {
      // What is scrolled away waits until it is looked at.
      if (state.isDone || !isInView(screen.canvas)) continue;
      const camera = screen.camera(seen.scene);
      if (!camera) {
        state.isDone = true;
        continue;
      }
      if (onTheDesk !== screen || !state.exposure) {
        state.exposure = finder.expose(room, camera, {
          width: screen.width,
          samples: finder.isSoftware ? fineSamples.software : fineSamples.graphics,
          ...(screen.around === undefined ? {} : { around: screen.around }),
        });
        onTheDesk = screen;
      }
      const exposure = state.exposure;
      const before = exposure.done;
      const isFinished = exposure.go(workMs);
      if (
        isFinished ||
        before === 0 ||
        Math.floor(before / showEvery) !== Math.floor(exposure.done / showEvery)
      ) {
        exposure.show(screen.canvas);
        screen.painted?.();
      }
      if (isFinished) {
        state.isDone = true;
        screen.canvas.dataset["finished"] = "yes";
        onTheDesk = null;
      }
      ask();
      return;
    }
  };
  return {
    show: (screen) => {
      screens.set(screen, { exposure: null, isDone: false });
      ask();
      return () => {
        screens.delete(screen);
        if (onTheDesk === screen) onTheDesk = null;
      };
    },
    see: (scene, daylight, moving) => {
      if (seen?.scene === scene && seen.daylight === daylight && moving === isMoving) return;
      seen = { scene, daylight };
      isMoving = moving;
      onTheDesk = null;
      for (const [screen, state] of screens) {
        Object.assign(state, { exposure: null, isDone: false });
        delete screen.canvas.dataset["finished"];
      }
      ask();
    },
    redraw: () => {
      isPlaying = true;
      clearTimeout(resting);
      ask();
    },
    take: async (id, width, around) => {
      const room = model();
      const camera = seen?.scene.cameras.find((one) => one.id === id);
      if (!room || !camera || isTaking) return null;
      isTaking = true;
      onTheDesk = null;
      try {
        const exposure = finder.expose(room, camera, {
          width: finder.isSoftware ? Math.min(width, softwareWidth) : width,
          samples: finder.isSoftware ? fineSamples.software : fineSamples.graphics,
          around,
        });
        while (!exposure.go(workMs)) await new Promise((next) => setTimeout(next));
        const canvas = document.createElement("canvas");
        exposure.show(canvas);
        drawEdge(canvas, around);
        return await new Promise<Blob | null>((done) => canvas.toBlob(done, "image/png"));
      } finally {
        isTaking = false;
        ask();
      }
    },
    coarseMs: () => coarse,
  };
}
