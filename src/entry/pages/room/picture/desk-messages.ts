import type { Plan } from "#documents/plan";
import type { CameraView } from "./camera-view.ts";

/** A picture of the page, as the worker knows it. */
export interface Screen {
  readonly id: number;
  readonly view: CameraView;
  /** Pixels across when it is finished. */
  readonly width: number;
  /** Around the frame: a share of it. */
  readonly around: number;
  /** It is on the reader's screen; what is not waits. */
  readonly isInView: boolean;
}

/** Pixels, 8 bits a part, rows from the top. */
export interface Pixels {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8ClampedArray<ArrayBuffer>;
}

/** What the page tells the worker that renders. */
export type ToDesk =
  /** The plan that changes are told on. */
  | { readonly kind: "on"; readonly plan: Plan }
  /** The room is that plan now, at this minute of its day; in a drag, with these parts changed. */
  | { readonly kind: "see"; readonly change: Partial<Plan> | null; readonly minute: number }
  | { readonly kind: "screen"; readonly screen: Screen }
  | { readonly kind: "gone"; readonly id: number }
  /** One camera's whole picture, finely, at most this wide. */
  | { readonly kind: "take"; readonly camera: string; readonly width: number; readonly around: number };

/** What the worker tells the page. */
export type FromDesk =
  /** Whether this browser can render in a worker. */
  | { readonly kind: "opened"; readonly can: boolean }
  | {
      readonly kind: "picture";
      readonly id: number;
      readonly pixels: Pixels;
      readonly isFinished: boolean;
      /** Samples of the lens in it: 1 is coarse. */
      readonly samples: number;
    }
  /** null: there is no such camera. */
  | { readonly kind: "taken"; readonly pixels: Pixels | null };
