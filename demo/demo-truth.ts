import type { Speaker } from "./script.ts";

/** A stretch of sitting time, or of a file's own time where the name says local. */
export interface Stretch {
  readonly start: number;
  readonly end: number;
}

export interface FileTruth {
  /** Below the folder, with forward slashes. */
  readonly path: string;
  readonly device: "A" | "B";
  readonly seconds: number;
  /** Local time t is at sitting time `offset + t (1 + ratePpm 1e-6)`: for the sitter's voice in the first channel. */
  readonly offset: number;
  readonly ratePpm: number;
  /** The same for the picture: the pure clock. */
  readonly pictureOffset: number;
  readonly channels: readonly {
    readonly channel: number;
    readonly role: "lav" | "boom" | "scratch";
    readonly voiceTravel: number;
  }[];
}

export interface ChartTruth {
  readonly camera: "A" | "B";
  readonly path: string;
  /** Fully shown and still, sitting time and the file's own. */
  readonly shown: Stretch;
  readonly shownLocal: Stretch;
  /** Once a second while shown: outer corners of the 24-patch field in pixels, from dark skin's clockwise. */
  readonly corners: readonly {
    readonly atLocal: number;
    readonly corners: readonly (readonly [number, number])[];
  }[];
}

/** What is true of a demo sitting, to check every chapter against. */
export interface DemoTruth {
  readonly kind: "gemel.demo-truth";
  readonly version: 1;
  readonly seed: number;
  readonly seconds: number;
  readonly soundOnly: boolean;
  readonly frameRate: { readonly num: number; readonly den: number };
  readonly width: number;
  readonly height: number;
  readonly master: string;
  readonly files: readonly FileTruth[];
  /** Seconds by which the sitter's voice reaches the boom after the lav. */
  readonly boomDelay: number;
  readonly speedOfSound: number;
  readonly speech: readonly (Stretch & {
    readonly who: Speaker;
    readonly text: string;
    readonly exchange: number;
  })[];
  readonly exchanges: readonly { readonly question: Stretch; readonly answer: Stretch }[];
  readonly falseStarts: readonly Stretch[];
  /** The silences, not the words after them. */
  readonly longPauses: readonly Stretch[];
  readonly rustle: Stretch;
  readonly clap: number;
  readonly soft: { readonly sitting: Stretch; readonly path: string; readonly local: Stretch } | null;
  readonly charts: readonly ChartTruth[];
  readonly colour: {
    readonly curveA: Readonly<Record<string, number>>;
    /** Each camera's linear signal of the patches, mid grey at its own exposure, before its curve. */
    readonly patches: {
      readonly A: readonly (readonly number[])[];
      readonly B: readonly (readonly number[])[];
    };
    /** CIEDE2000 between the two, before any match, each put through its own curve's inverse. */
    readonly differenceBefore: { readonly mean: number; readonly max: number };
  } | null;
}
