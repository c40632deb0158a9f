import { type ReactNode, useEffect, useMemo, useRef, useState } from "react";
import type { Plan } from "#documents/plan";
import { drawFrame } from "#room/frame-drawing";
import type { Scene } from "#room/scene";
import { useMeasuredWidth } from "../../parts/measured-width.ts";
import { onDraft, triedOn } from "../draft-plan.ts";
import { Drawing } from "../drawing.tsx";
import { type CameraView, viewedBy } from "./camera-view.ts";
import { type FinderDesk, openDesk, type ShownScreen } from "./finder-desk.ts";

let opening: Promise<FinderDesk | null> | null = null;

/** The page's one desk, opened when it is first wanted; null where this browser cannot render. */
export function finderDesk(): Promise<FinderDesk | null> {
  opening ??= openDesk().catch(() => null);
  return opening;
}

/** Tells the desk what the room is now, and each step of a drag. */
export function useSeen(said: Plan, minute: number): void {
  useEffect(() => {
    let stop: (() => void) | null = null;
    let isGone = false;
    void finderDesk().then((desk) => {
      if (!desk || isGone) return;
      const tell = (): void => desk.see(said, triedOn(said), minute);
      tell();
      stop = onDraft(tell);
    });
    return () => {
      isGone = true;
      stop?.();
    };
  }, [said, minute]);
}

/** What one camera sees: rendered where the browser can, drawn in lines before that and where it cannot. */
export function Finder({
  scene,
  label,
  around = 0.18,
  view,
}: {
  readonly scene: Scene;
  readonly label: string;
  readonly around?: number;
  /** Whose picture; the same object while it is the same view. */
  readonly view: CameraView;
}): ReactNode {
  const [ref, width] = useMeasuredWidth<HTMLDivElement>();
  const canvas = useRef<HTMLCanvasElement>(null);
  const [desk, setDesk] = useState<FinderDesk | null | "opening">("opening");
  const [isPainted, setPainted] = useState(false);
  const camera = useMemo(() => viewedBy(scene, view), [scene, view]);
  useEffect(() => {
    let isGone = false;
    void finderDesk().then((found) => {
      if (!isGone) setDesk(found);
    });
    return () => {
      isGone = true;
    };
  }, []);
  const shown = useRef<ShownScreen | null>(null);
  const now = useRef(view);
  now.current = view;
  useEffect(() => {
    if (desk === "opening" || desk === null || width === 0 || !canvas.current) return;
    const screen = desk.show({
      canvas: canvas.current,
      view: now.current,
      width: Math.min(960, Math.round(width * Math.min(2, devicePixelRatio))),
      around,
      painted: () => setPainted(true),
    });
    shown.current = screen;
    return () => {
      shown.current = null;
      screen.letGo();
    };
  }, [desk, width, around]);
  useEffect(() => shown.current?.look(view), [view]);
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
