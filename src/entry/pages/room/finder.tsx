import { type ReactNode, useEffect, useMemo, useRef, useState } from "react";
import { drawFrame } from "#room/frame-drawing";
import type { Scene, SceneCamera } from "#room/scene";
import { useMeasuredWidth } from "../parts/measured-width.ts";
import { Drawing } from "./drawing.tsx";
import type { FinderDesk } from "./finder-desk.ts";
import type { Daylight } from "./room-model.ts";

let opening: Promise<FinderDesk | null> | null = null;

/** The page's one desk, fetched when it is first wanted; null where this browser cannot render. */
export function finderDesk(): Promise<FinderDesk | null> {
  opening ??= import("./finder-desk.ts").then(
    ({ openDesk }) => {
      try {
        return openDesk();
      } catch {
        return null;
      }
    },
    () => null,
  );
  return opening;
}

/** What one camera sees: rendered where the browser can, drawn in lines before that and where it cannot. */
export function Finder({
  scene,
  daylight,
  isMoving,
  label,
  around = 0.18,
  pick,
}: {
  readonly scene: Scene;
  readonly daylight: Daylight;
  readonly isMoving: boolean;
  readonly label: string;
  readonly around?: number;
  /** The camera among the scene's, or one made for a moment of a move. */
  readonly pick: (scene: Scene) => SceneCamera | null;
}): ReactNode {
  const [ref, width] = useMeasuredWidth<HTMLDivElement>();
  const canvas = useRef<HTMLCanvasElement>(null);
  const [desk, setDesk] = useState<FinderDesk | null | "opening">("opening");
  const [isPainted, setPainted] = useState(false);
  const choose = useRef(pick);
  choose.current = pick;
  const camera = useMemo(() => pick(scene), [scene, pick]);
  useEffect(() => {
    let isGone = false;
    void finderDesk().then((found) => {
      if (!isGone) setDesk(found);
    });
    return () => {
      isGone = true;
    };
  }, []);
  useEffect(() => {
    if (desk === "opening" || desk === null || width === 0 || !canvas.current) return;
    return desk.show({
      canvas: canvas.current,
      camera: (now) => choose.current(now),
      width: Math.min(960, Math.round(width * Math.min(2, devicePixelRatio))),
      around,
      painted: () => setPainted(true),
    });
  }, [desk, width, around]);
  useEffect(() => {
    if (desk !== "opening") desk?.see(scene, daylight, isMoving);
  }, [desk, scene, daylight, isMoving]);
  const isLines = desk === "opening" || desk === null || !isPainted;
  const lines = useMemo(
    () =>
      isLines && camera && width > 0
        ? drawFrame(scene, camera, width, around, {
            paper: "var(--paper)",
            ink: "var(--ink)",
            quiet: "var(--line)",
          })
        : "",
    [isLines, camera, width, scene, around],
  );
  if (!camera) return null;
  const edge = (around / (2 * (1 + around))) * 100;
  return (
    <div ref={ref} className="finder" style={{ aspectRatio: String(camera.aspect) }}>
      {isLines && <Drawing svg={lines} />}
      {desk !== "opening" && desk !== null && (
        <canvas ref={canvas} role="img" aria-label={label} className={isPainted ? "" : "waits"} />
      )}
      {!isLines && around > 0 && (
        <span
          className="frame"
          aria-hidden="true"
          style={{ inset: `${edge}%`, top: `${edge}%`, bottom: `${edge}%` }}
        />
      )}
    </div>
  );
}
