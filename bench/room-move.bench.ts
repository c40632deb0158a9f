import { loftPlan } from "#demo/loft-plan";
import type { Plan, Slide } from "#documents/plan";
import { lightFigures } from "#room/light-figures";
import { moveFigures } from "#room/move-figures";
import { posingOf } from "#room/move-pose";
import { roomFigures } from "#room/room";
import { sceneOf } from "#room/scene";
import { soundFigures } from "#room/sound-figures";
import { sunFigures } from "#room/sun-figures";
import type { HeadPose } from "#science/motion/keyframes";
import { steadyPose } from "#science/motion/keyframes";
import { smoothPose } from "#science/motion/smooth-keyframes";
import { pinHole, placeInFrame } from "#science/optics/pin-hole";
import { processorTime } from "./processor-time.ts";
import type { BenchRow } from "./row.ts";
import { writeTable } from "./write-table.ts";

const chapter = "room";
/** Moments at which the wander is told: none of them is one that the keyframes were sought over. */
const moments = 1999;
const rounds = 400;

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
  const moves: string[][] = [];
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
    const [ours, theirs] = [worst(move!.keyframes), worst(evenly(count))];
    yield {
      chapter,
      what: `residual, ${count} keyframes: ${name}`,
      unit: "px",
      ours,
      reference: "as many, evenly in time",
      theirs,
    };
    let needed = 2;
    while (needed < 200 && worst(evenly(needed)) > 1) needed++;
    moves.push([
      name,
      String(count),
      ours.toFixed(2),
      theirs.toFixed(2),
      needed < 200 ? String(needed) : "over 200",
    ]);
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
  let turn = 0;
  const anew = (): Plan => withSlide({ seconds: 30 + ++turn / 1000 });
  const parts: readonly (readonly [string, () => unknown])[] = [
    ["all, a move's keyframes sought anew", () => roomFigures(anew())],
    ["all, but for keyframes known already (a drag)", () => roomFigures(plan)],
    ["light", () => lightFigures(plan, scene)],
    ["sun, a day by the minute", () => sunFigures(plan, scene)],
    ["sound", () => soundFigures(plan, scene)],
    ["a move, keyframes sought anew", () => moveFigures(sceneOf(anew()))],
  ];
  const times: string[][] = [];
  for (const [what, work] of parts) {
    const { least, median } = processorTime(work, rounds);
    times.push([what, least.toFixed(2), median.toFixed(2)]);
    for (const [which, ours] of [
      ["least", least],
      ["median", median],
    ] as const)
      yield {
        chapter,
        what: `figures of the loft: ${what}, processor time, ${which}`,
        unit: "ms",
        ours,
        // The promise is for all figures of a plan together.
        reference: "promised for the whole plan",
        theirs: 5,
      };
  }
  writeTable("docs/room-bench.md", "figures", [
    ["figures of the loft", "least, ms", `median of ${rounds}, ms`],
    ...times,
  ]);
  writeTable("docs/room-bench.md", "moves", [
    ["move", "keyframes", "residual, px", "as many evenly, px", "evenly for a pixel"],
    ...moves,
  ]);
}
