import { loftPlan } from "#demo/loft-plan";
import type { Plan, Slide } from "#documents/plan";
import { lightFigures } from "#room/light-figures";
import { moveFigures } from "#room/move-figures";
import { posingOf } from "#room/move-pose";
import { sceneOf } from "#room/scene";
import { soundFigures } from "#room/sound-figures";
import { sunFigures } from "#room/sun-figures";
import type { HeadPose } from "#science/motion/keyframes";
import { steadyPose } from "#science/motion/keyframes";
import { smoothPose } from "#science/motion/smooth-keyframes";
import { pinHole, placeInFrame } from "#science/optics/pin-hole";
import type { BenchRow } from "./row.ts";

const chapter = "room";
/** Moments at which the wander is told: none of them is one that the keyframes were sought over. */
const moments = 1999;
const rounds = 40;

const loftSlide = loftPlan.slides[0]!;

/** The loft's slide made so much longer about its middle, and raised by so much on its way. */
function stretched(times: number, rise: number): Pick<Slide, "from" | "to"> {
  const { from, to } = loftSlide;
  const at = (share: number, up: number): [number, number, number] => [
    from[0] + (to[0] - from[0]) * share,
    from[1] + (to[1] - from[1]) * share,
    from[2] + (to[2] - from[2]) * share + up,
  ];
  return { from: at(0.5 - times / 2, -rise / 2), to: at(0.5 + times / 2, rise / 2) };
}

const withSlide = (said: Partial<Slide>): Plan => ({ ...loftPlan, slides: [{ ...loftSlide, ...said }] });

const cases: readonly { readonly name: string; readonly slide: Partial<Slide> }[] = [
  {
    name: "60 cm, steady carriage, steady head",
    slide: { ...stretched(2.5, 0), ease: "none", head: "linear", tilts: true },
  },
  {
    name: "60 cm, soft carriage, steady head",
    slide: { ...stretched(2.5, 0), ease: "in-out", head: "linear", tilts: true },
  },
  {
    name: "60 cm, soft carriage, smooth head",
    slide: { ...stretched(2.5, 0), ease: "in-out", head: "eased", tilts: true },
  },
  {
    name: "24 cm, soft carriage, smooth head",
    slide: { ease: "in-out", head: "eased", tilts: true },
  },
  {
    name: "60 cm rising 30 cm, steady carriage, steady head",
    slide: { ...stretched(2.5, 0.3), ease: "none", head: "linear", tilts: true },
  },
];

/** The move's keyframes against the exact solution, and against as many keyframes evenly in time; time of the figures. */
export default async function* bench(): AsyncIterable<BenchRow> {
  for (const { name, slide: said } of cases) {
    const scene = sceneOf(withSlide(said));
    const slide = scene.slides[0]!;
    const posing = posingOf(scene, slide);
    const [move] = moveFigures(scene);
    const pose = said.head === "eased" ? smoothPose : steadyPose;
    const worst = (keys: readonly HeadPose[]): number => {
      let most = 0;
      for (let i = 0; i <= moments; i++) {
        const exact = posing.at((move!.seconds * i) / moments);
        const { pan, tilt } = pose(keys, exact.t);
        const { tanHalfWidth, tanHalfHeight, pixels } = slide.camera;
        const seen = placeInFrame(
          pinHole(exact.point, pan, tilt, tanHalfWidth, tanHalfHeight),
          posing.target,
        )!;
        most = Math.max(
          most,
          Math.hypot((seen.x - posing.place.x) * pixels[0], (seen.y - posing.place.y) * pixels[1]),
        );
      }
      return most;
    };
    const evenly = (count: number): HeadPose[] =>
      Array.from({ length: count }, (_, i) => posing.at((move!.seconds * i) / (count - 1)));
    const count = move!.keyframes.length;
    yield {
      chapter,
      what: `residual, ${count} keyframes: ${name}`,
      unit: "px",
      ours: worst(move!.keyframes),
      reference: "as many, evenly in time",
      theirs: worst(evenly(count)),
    };
    let needed = 2;
    while (needed < 200 && worst(evenly(needed)) > 1) needed++;
    yield {
      chapter,
      what: `keyframes to hold a pixel: ${name}`,
      unit: "keys",
      ours: count,
      reference: needed < 200 ? "evenly in time" : "evenly in time (gave up)",
      theirs: needed,
    };
  }
  const plan = loftPlan;
  const scene = sceneOf(plan);
  // The median: other work on the machine is not the figures' own.
  const timed = (work: () => unknown): number => {
    for (let i = 0; i < rounds; i++) work();
    const times = Array.from({ length: rounds }, () => {
      const from = performance.now();
      work();
      return performance.now() - from;
    });
    return times.sort((a, b) => a - b)[Math.floor(rounds / 2)]!;
  };
  // The promise for all figures of a plan together.
  const budget = 5;
  let turn = 0;
  const parts: readonly (readonly [string, () => unknown])[] = [
    ["light", () => lightFigures(plan, scene)],
    ["sun, a day by the minute", () => sunFigures(plan, scene)],
    ["sound", () => soundFigures(plan, scene)],
    ["a move, keyframes sought anew", () => moveFigures(sceneOf(withSlide({ seconds: 30 + ++turn / 1000 })))],
  ];
  for (const [what, work] of parts)
    yield {
      chapter,
      what: `figures of ${what}`,
      unit: "ms",
      ours: timed(work),
      reference: "promised for the whole plan",
      theirs: budget,
    };
}
