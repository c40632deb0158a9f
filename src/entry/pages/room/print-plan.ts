import type { Plan } from "#documents/plan";
import { cableWays } from "#room/geometry-reach";
import { drawPlan } from "#room/plan-drawing";
import { sceneOf } from "#room/scene";
import type { Units } from "../words/units.ts";

/** Scales that people measure in. */
const ratios = [20, 25, 50, 75, 100, 150, 200] as const;
/** A sheet of A4 on its side, less its margins, in CSS pixels. [ISO 216] */
const sheet = { width: (277 / 25.4) * 96, height: (180 / 25.4) * 96 };

/** The plan at the largest usual scale that fits one sheet. */
export function planForPaper(plan: Plan, units: Units): string {
  const scene = sceneOf(plan);
  const wish = { units, title: plan.title ?? "Plan", prefix: "paper", cables: cableWays(scene) };
  for (const ratio of ratios) {
    const { svg, page } = drawPlan(plan, { ...wish, size: { ratio } }, scene);
    if ((page.width <= sheet.width && page.height + 30 <= sheet.height) || ratio === ratios.at(-1))
      return svg;
  }
  return "";
}

/** Prints the plan alone, to scale. */
export function printPlan(plan: Plan, units: Units): void {
  const paper = document.createElement("div");
  paper.className = "paper-plan";
  paper.innerHTML = planForPaper(plan, units);
  document.body.append(paper);
  document.documentElement.classList.add("prints-plan");
  const after = () => {
    document.documentElement.classList.remove("prints-plan");
    paper.remove();
    removeEventListener("afterprint", after);
  };
  addEventListener("afterprint", after);
  print();
}
