import type { ReactNode } from "react";
import { CameraPanel } from "./camera-panel.tsx";
import { FurniturePanel } from "./furniture-panel.tsx";
import { LightPanel } from "./light-panel.tsx";
import { MicrophonePanel } from "./microphone-panel.tsx";
import type { OfThing } from "./panel.tsx";
import { PersonPanel } from "./person-panel.tsx";
import { SlidePanel } from "./slide-panel.tsx";

/** Everything that is said of one thing, each figure to be typed; the same as dragging and turning it. */
export function ThingPanel(of: OfThing): ReactNode {
  const { plan, id } = of;
  const has = (list: readonly { readonly id: string }[]): boolean => list.some((one) => one.id === id);
  if (id === "sitter" || id === "interviewer") return <PersonPanel {...of} />;
  if (has(plan.cameras)) return <CameraPanel {...of} />;
  if (has(plan.lights)) return <LightPanel {...of} />;
  if (has(plan.microphones)) return <MicrophonePanel {...of} />;
  if (has(plan.slides)) return <SlidePanel {...of} />;
  return <FurniturePanel {...of} />;
}
