import { sceneFigures } from "./colour-scenes.ts";
import type { BenchRow } from "./row.ts";

const chapter = "colour";
/** The match's settings and the rule of its uncertainty were chosen on seeds below these. */
const firstSeed = 601;
const count = 24;

/** What a match without a chart leaves of scenes that it was not made by, and whether it knows. */
export default async function* sceneBench(): AsyncGenerator<BenchRow> {
  for (const [name, isHard] of [
    ["skins, cloths and things, two of six sensors", false],
    ["the chart's spectra, two measured sensors", true],
  ] as const) {
    const scenes = Array.from({ length: count }, (_, k) => sceneFigures(firstSeed + k, isHard));
    const kept = scenes.filter(({ match }) => match !== null);
    const mean = (values: readonly number[]): number =>
      values.reduce((sum, v) => sum + v, 0) / Math.max(values.length, 1);
    const what = `no chart: ${kept.length} of ${count} scenes matched, ${name}`;
    const ours = mean(kept.map(({ matched }) => matched));
    const unit = "CIEDE2000";
    for (const [reference, theirs] of [
      ["as recorded, exposure taken out", mean(kept.map(({ asRecorded }) => asRecorded))],
      ["gains by the scene's true white", mean(kept.map(({ byWhite }) => byWhite))],
    ] as const)
      yield { chapter, what, unit, ours, reference, theirs };
    yield {
      chapter,
      what: `no chart: the uncertainty stated, on average, ${name}`,
      unit,
      ours: mean(kept.map(({ match }) => match!.uncertainty)),
      reference: "the farthest that a scene was off",
      theirs: Math.max(...kept.map(({ matched }) => matched)),
    };
    yield {
      chapter,
      what: `no chart: scenes within the uncertainty stated, ${name}`,
      unit: "%",
      ours: (100 * kept.filter(({ matched, match }) => matched <= match!.uncertainty).length) / kept.length,
      reference: "what it is said to hold in",
      theirs: 80,
    };
  }
}
