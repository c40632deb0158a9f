import { judgeStaging, proposeStagings, withCamerasSet } from "#room/propose";
import { groundOf } from "#room/propose-ground";
import { moversOf } from "#room/propose-movers";
import { costOf, draftOf, keepsRules, nichesOf } from "#room/propose-search";
import { roomFigures } from "#room/room";
import { seededChance } from "#science/search/seeded-chance";
import { processorSeconds, processorTime } from "./processor-time.ts";
import { type RoomCase, roomCases, stagedByHand } from "./room-cases.ts";
import type { BenchRow } from "./row.ts";
import { writeTable } from "./write-table.ts";

const seed = 1;
const chapter = "room";

/** The best of as many stagings drawn evenly from the same places; 0 where none keeps the hard rules. */
function randomSearch({ plan }: RoomCase, tries: number): number {
  const ground = groundOf(plan);
  const movers = nichesOf(plan).map((niche) => moversOf(ground, niche));
  const chance = seededChance(seed);
  const draft = draftOf(plan);
  const place = new Float64Array(movers[0]!.low.length);
  let least = Number.POSITIVE_INFINITY;
  for (let k = 0; k < tries; k++) {
    const { low, high, place: put } = movers[k % movers.length]!;
    for (let d = 0; d < place.length; d++) place[d] = low[d]! + (high[d]! - low[d]!) * chance.next();
    put(place, draft);
    least = Math.min(least, costOf(draft, ground, least));
  }
  return keepsRules(least) ? 100 * (1 - least) : 0;
}

/** Refuses a comparison with a hand that itself breaks a rule, or with pins that moved. */
function check(room: RoomCase, byHand: ReturnType<typeof judgeStaging>): void {
  if (byHand.broken.length > 0)
    throw new Error(`${room.name}: by hand, ${byHand.broken.map((b) => b.says).join(" ")}`);
}

/** Twenty rooms: score, hard rules and time of the proposals against stagings by hand and against random search. */
export default async function* bench(): AsyncIterable<BenchRow> {
  let [sum, hands, randoms, below, broken, slowest, seconds, pinsMoved] = [0, 0, 0, 0, 0, 0, 0, 0];
  const table: RoomRow[] = [];
  for (const room of roomCases) {
    const byHand = judgeStaging(withCamerasSet(stagedByHand(room)));
    check(room, byHand);
    const from = process.cpuUsage();
    const { proposals, evaluations } = proposeStagings(room.plan, { seed });
    const took = processorSeconds(from);
    slowest = Math.max(slowest, took);
    seconds += took;
    const best = proposals[0]?.total ?? 0;
    const random = randomSearch(room, evaluations);
    table.push({ name: room.name, best, byHand: byHand.total, random, evaluations, took });
    sum += best;
    hands += byHand.total;
    randoms += random;
    if (best < byHand.total) below++;
    for (const { plan } of proposals) {
      const figures = roomFigures(plan);
      const unwanted = figures.cameras.flatMap((c) =>
        c.seen.filter((t) => t.unwanted && t.kind !== "furniture" && t.kind !== "window"),
      );
      broken += judgeStaging(plan).broken.length + unwanted.length + (figures.geometry.lineCrossed ? 1 : 0);
    }
    yield {
      chapter,
      what: `best staging: ${room.name}`,
      unit: "of 100",
      ours: best,
      reference: "by hand",
      theirs: byHand.total,
    };
    yield {
      chapter,
      what: `best staging: ${room.name}`,
      unit: "of 100",
      ours: best,
      reference: `random, ${evaluations} tries`,
      theirs: random,
    };
    // What was found first, with sitter and key pinned: they must not move.
    const first = proposals[0];
    if (first) {
      const pinned = { ...first.plan, wishes: { ...first.plan.wishes, pinned: ["sitter", "key"] } };
      const again = proposeStagings(pinned, { seed, evaluations: 4000 });
      for (const { plan } of again.proposals)
        if (
          JSON.stringify([plan.sitter, plan.lights.find((l) => l.id === "key")]) !==
          JSON.stringify([pinned.sitter, pinned.lights.find((l) => l.id === "key")])
        )
          pinsMoved++;
    }
  }
  const n = roomCases.length;
  yield {
    chapter,
    what: `mean of ${n} rooms`,
    unit: "of 100",
    ours: sum / n,
    reference: "by hand",
    theirs: hands / n,
  };
  yield {
    chapter,
    what: `mean of ${n} rooms`,
    unit: "of 100",
    ours: sum / n,
    reference: "random search",
    theirs: randoms / n,
  };
  yield {
    chapter,
    what: "rooms in which the hand was better",
    unit: "rooms",
    ours: below,
    reference: "of",
    theirs: n,
  };
  yield {
    chapter,
    what: "hard rules broken in proposals, by the plan's own figures too",
    unit: "rules",
    ours: broken,
    reference: "asked",
    theirs: 0,
  };
  yield {
    chapter,
    what: "pinned things that moved",
    unit: "things",
    ours: pinsMoved,
    reference: "asked",
    theirs: 0,
  };
  yield {
    chapter,
    what: "processor time to propose, slowest room",
    unit: "s",
    ours: slowest,
    reference: "asked",
    theirs: 10,
  };
  yield {
    chapter,
    what: "processor time to propose, mean",
    unit: "s",
    ours: seconds / n,
    reference: "asked",
    theirs: 10,
  };
  const [again, other] = [seed, seed].map((s) =>
    JSON.stringify(proposeStagings(roomCases[0]!.plan, { seed: s, evaluations: 20_000 })),
  );
  yield {
    chapter,
    what: "same seed, other answer",
    unit: "answers",
    ours: again === other ? 0 : 1,
    reference: "asked",
    theirs: 0,
  };
  const { least, median } = processorTime(staged(), 400);
  for (const [which, ours] of [
    ["least", least],
    ["median", median],
  ] as const)
    yield {
      chapter,
      what: `all figures of a staged plan, processor time, ${which}`,
      unit: "ms",
      ours,
      reference: "asked",
      theirs: 5,
    };
  writeTable("docs/room-bench.md", "stagings", [
    ["room", "proposed", "by hand", "random", "tries", "processor seconds"],
    ...table.map((r) => [
      r.name,
      r.best.toFixed(1),
      r.byHand.toFixed(1),
      r.random === 0 ? "none kept the rules" : r.random.toFixed(1),
      String(r.evaluations),
      r.took.toFixed(1),
    ]),
    ["mean", sum / n, hands / n, randoms / n, "", seconds / n].map((v) =>
      typeof v === "number" ? v.toFixed(1) : v,
    ),
  ]);
  writeTable("docs/room-bench.md", "rules", [
    ["what", "measured", "asked"],
    ["rooms in which the hand was better", String(below), "0"],
    ["hard rules broken in proposals, by the plan's own figures too", String(broken), "0"],
    ["pinned things that moved", String(pinsMoved), "0"],
    ["other answers to the same seed", again === other ? "0" : "1", "0"],
    ["slowest room, processor seconds of one core", slowest.toFixed(1), "10"],
    [
      "all figures of a staged plan, processor ms, least and median of 400",
      `${least.toFixed(1)}, ${median.toFixed(1)}`,
      "5",
    ],
  ]);
}

interface RoomRow {
  readonly name: string;
  readonly best: number;
  readonly byHand: number;
  readonly random: number;
  readonly evaluations: number;
  readonly took: number;
}

/** The figures of every room staged by hand, one after another. */
function staged(): () => unknown {
  const plans = roomCases.map(stagedByHand);
  let turn = 0;
  return () => roomFigures(plans[turn++ % plans.length]!);
}
