import type { Lens, Plan } from "#documents/plan";
import type { Proposal, Proposals, StagingRule } from "#documents/room-proposals";
import { headingOf } from "#science/geometry/vector3";
import { lengthWords } from "#science/units/length-words";
import { differencesOf, sideOfCameras } from "./propose-differ.ts";
import { type Ground, groundOf } from "./propose-ground.ts";
import { brokenRules } from "./propose-hard.ts";
import { lookAt } from "./propose-look.ts";
import { keepsRules, searchStagings } from "./propose-search.ts";
import { settingsWords, withExposure, withPlaceSettings } from "./propose-settings.ts";
import { softLack, softRulesOf } from "./propose-soft.ts";
import { sceneOf } from "./scene.ts";

/** Stagings tried where nobody says how many: well under ten seconds of one core. */
const usualEvaluations = 100_000;

/** What a search is asked. */
export interface ProposeOptions {
  /** The same seed gives the same answer. */
  readonly seed: number;
  /** How many stagings to try. */
  readonly evaluations?: number;
  /** Calls the search off: the best so far is answered, and `complete` is false. */
  readonly signal?: { readonly aborted: boolean };
  /** Told now and then: share done. */
  readonly progress?: (share: number) => void;
}

/**
 * Finds stagings for a plan: where sitter, interviewer, cameras (and which lens of the kit), lights, boom and slider go.
 *
 * No proposal breaks a hard rule; the soft ones are weighed. What `wishes.pinned` names stays. Plain JSON in and out, pure and
 * synchronous, so that it runs in a worker.
 *
 * @param plan - As read and without contradictions.
 * @returns Three proposals that truly differ, the best first; fewer where there are no more; none, and what stands in the way, where
 *   a hard rule cannot be kept.
 */
export function proposeStagings(plan: Plan, options: ProposeOptions): Proposals {
  const ground = groundOf(plan);
  const evaluations = options.evaluations ?? usualEvaluations;
  const { found, tried, complete } = searchStagings(ground, { ...options, evaluations });
  const kept = found
    .filter(({ cost }) => keepsRules(cost))
    .map(({ plan: staged }) => exposed(staged, ground))
    .map((staged) => ({ staged, total: judgeStaging(staged, ground).total }))
    .sort((a, b) => b.total - a.total);
  const proposals: Proposal[] = [];
  for (const { staged } of kept) proposals.push(proposalOf(staged, ground, proposals));
  return {
    seed: options.seed,
    evaluations: tried,
    complete,
    now: judgeStaging(plan, ground),
    proposals,
    inTheWay: kept.length > 0 ? [] : brokenRules(sceneOf(found[0]!.plan), ground),
  };
}

/**
 * Judges one staging by the rules of the search: the plan as it stands, or one made by hand.
 *
 * @param ground - Of the plan or of another staging in the same room with the same kit.
 */
export function judgeStaging(plan: Plan, ground: Ground = groundOf(plan)): Proposals["now"] {
  const scene = sceneOf(plan);
  const look = lookAt(scene, ground);
  return {
    total: totalOf(1 - softLack(look)),
    rules: softRulesOf(look),
    broken: brokenRules(scene, ground),
  };
}

/** A staging with its ISO, ND and lamps set by the light that falls in it. */
const exposed = (plan: Plan, ground: Ground): Plan =>
  withExposure(plan, (other) => lookAt(sceneOf(other), ground));

/**
 * Sets what a camera's place and the light decide, as the search does for its own stagings: lens height, stop, shutter, ISO, ND,
 * and lamps dimmed together where they are too bright. What is pinned stays.
 *
 * @param ground - Of the plan or of another staging in the same room with the same kit.
 */
export const withCamerasSet = (plan: Plan, ground: Ground = groundOf(plan)): Plan =>
  exposed(withPlaceSettings(plan), ground);

const totalOf = (score: number): number => Math.round(score * 1000) / 10;

function proposalOf(staged: Plan, ground: Ground, before: readonly Proposal[]): Proposal {
  const { total, rules } = judgeStaging(staged, ground);
  const differs = before.map((other, k) => {
    const ways = differencesOf(staged, other.plan);
    return `${k === 0 ? "Unlike the first" : "unlike the second"}: ${ways.join(", ")}`;
  });
  return {
    title: titleOf(staged),
    total,
    rules,
    why: reasonsOf(rules),
    differs: differs.length > 0 ? `${differs.join("; ")}.` : "",
    moved: movesOf(staged, ground.plan),
    plan: staged,
  };
}

const winds = ["north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"];

function titleOf(plan: Plan): string {
  const gaze = headingOf([
    plan.interviewer.at[0] - plan.sitter.at[0],
    plan.interviewer.at[1] - plan.sitter.at[1],
    0,
  ]);
  const wind = winds[Math.round((((gaze + plan.room.bearing) % 360) + 360) / 45) % 8]!;
  if (plan.cameras.length === 0) return `Facing ${wind}`;
  const lenses = plan.cameras.map((c) => {
    const lens = plan.kit.lenses.find((l) => l.id === c.lens);
    return `${Math.round(c.focalLength ?? lens?.focal[0] ?? 0)} mm`;
  });
  return `Facing ${wind}, cameras on the sitter's ${sideOfCameras(plan) > 0 ? "right" : "left"}, ${lenses.join(" and ")}`;
}

/** The best of a staging, then its price. */
function reasonsOf(rules: readonly StagingRule[]): string[] {
  const good = rules
    .filter((r) => r.score >= 0.85)
    .sort((a, b) => b.weight * b.score - a.weight * a.score)
    .slice(0, 4);
  const price = rules
    .filter((r) => r.score < 0.7)
    .sort((a, b) => b.weight * (1 - b.score) - a.weight * (1 - a.score))
    .slice(0, 2);
  return [
    ...good.map((r) => r.says),
    ...price.map((r) => `The price: ${r.says.charAt(0).toLowerCase()}${r.says.slice(1)}`),
  ];
}

/** A lens and what it is set to: "the 24 to 70 mm zoom at 50 mm"; a prime's name says its only length. */
const lensWords = ({ name, focal }: Lens, mm: number | undefined): string =>
  `${name}${mm === undefined || focal[0] === focal[1] || name.includes(`${Math.round(mm)} mm`) ? "" : ` at ${Math.round(mm)} mm`}`;

function movesOf(staged: Plan, plan: Plan): Proposal["moved"] {
  const { units } = plan;
  const words = (metres: number): string => lengthWords(metres, units);
  const moved: Proposal["moved"] = [];
  const put = (
    id: string,
    name: string,
    now: readonly [number, number] | undefined,
    was: readonly [number, number] | undefined,
    more = "",
  ): void => {
    if (!now) return;
    const far = was ? Math.hypot(now[0] - was[0], now[1] - was[1]) : 0;
    if (was && far < 0.005 && more === "") return;
    const place = `${words(now[0])} across, ${words(now[1])} up the plan`;
    const way = was ? (far < 0.005 ? " (stays)" : ` (${words(far)} from where it was)`) : "";
    moved.push({ id, says: `${name}: ${place}${way}${more}.` });
  };
  put("sitter", "Sitter", staged.sitter.at, plan.sitter.at);
  put("interviewer", "Interviewer", staged.interviewer.at, plan.interviewer.at);
  for (const [k, camera] of staged.cameras.entries()) {
    const was = plan.cameras[k]!;
    const lens = staged.kit.lenses.find((l) => l.id === camera.lens);
    const isOther = camera.lens !== was.lens || camera.focalLength !== was.focalLength;
    const more = [
      ...(isOther && lens ? [lensWords(lens, camera.focalLength)] : []),
      ...(camera.height !== undefined && camera.height !== was.height
        ? [`lens ${words(camera.height)} high`]
        : []),
      ...settingsWords(camera, was),
    ];
    put(camera.id, `Camera ${camera.id}`, camera.at, was.at, more.map((part) => `, ${part}`).join(""));
  }
  for (const [k, slide] of staged.slides.entries()) {
    const was = plan.slides[k]!;
    put(
      slide.id,
      `The start of camera ${slide.camera}'s rail`,
      [slide.from[0], slide.from[1]],
      [was.from[0], was.from[1]],
    );
  }
  for (const [k, light] of staged.lights.entries()) {
    const was = plan.lights[k]!;
    const isOther = Math.abs(light.height - was.height) >= 0.005 || Math.abs(light.dim - was.dim) >= 0.005;
    put(
      light.id,
      light.role === "other" ? `Light ${light.id}` : `The ${light.role} light`,
      light.at,
      was.at,
      isOther ? `, ${words(light.height)} high, at ${Math.round(light.dim * 100)} %` : "",
    );
  }
  for (const [k, boom] of staged.microphones.entries()) {
    if (boom.role !== "boom" || !boom.at) continue;
    const was = plan.microphones[k]!;
    put(
      boom.id,
      "The boom's stand",
      boom.standAt,
      was.standAt,
      `, its tip ${words(boom.at[2])} over the floor`,
    );
  }
  return moved;
}
