import type { Finding } from "#documents/finding";
import type { KitResult } from "#documents/kit-result";
import type { Plan } from "#documents/plan";
import { lengthWords } from "#science/units/length-words";
import { countOf, openSentence } from "#science/units/number-words";
import { hoursMinutes } from "#science/units/time-figures";
import { continuousShare } from "./kit-power.ts";

type Figures = Omit<KitResult, "findings">;

/** What runs out, what is overloaded, what is missing. */
export function findingsOfKit(plan: Plan, figures: Figures): Finding[] {
  return [
    ...cameraFindings(figures),
    ...lightFindings(figures),
    ...circuitFindings(plan, figures),
    ...standFindings(plan),
  ];
}

function cameraFindings({ cameras, day }: Figures): Finding[] {
  const findings: Finding[] = [];
  for (const { id, mbps, cards, battery, swaps, onMains } of cameras) {
    if (mbps === null)
      findings.push({
        code: "kit.bit-rate-missing",
        weight: "note",
        says: `Camera ${id}'s bit rate is not given, so its hours per card are not known.`,
        remedy: "Give its body a bit rate or a codec, from its manual.",
        evidence: { where: id },
      });
    else if (cards === null)
      findings.push({
        code: "kit.cards-missing",
        weight: "warn",
        says: `There is no card for camera ${id} in the kit.`,
        remedy: "Add cards, with their size in gigabytes.",
        evidence: { where: id },
      });
    for (const [what, store] of [
      ["card", cards],
      ["battery", battery],
    ] as const) {
      if (!store || day.blocks.length === 0) continue;
      const many = what === "card" ? "cards" : "batteries";
      if (store.needs > store.has)
        findings.push({
          code: `kit.${what}-short`,
          weight: "stop",
          says: `Camera ${id} needs ${countOf(store.needs, what, many)} for the day and has ${countOf(store.has, what, many)}.`,
          remedy:
            what === "card"
              ? "Bring more cards, or copy and check one in a break before it is used again."
              : "Bring more batteries, charge in the breaks, or run it from the mains.",
          evidence: { where: id, figure: `${hoursMinutes(store.minutesEach)} each` },
        });
      const inside = swaps.filter((s) => s.what === what && !s.inBreak);
      if (inside.length > 0) {
        const first = inside[0]!;
        findings.push({
          code: `kit.${what}-in-block`,
          weight: "warn",
          says: `Camera ${id}'s ${what} runs out in the middle of ${first.block}${first.clock === null ? "" : `, at ${first.clock}`}: one lasts ${hoursMinutes(store.minutesEach)}.`,
          remedy: `Plan a break before then, or use a larger ${what}.`,
          evidence: { where: id, figure: `${hoursMinutes(first.at)} from the start` },
        });
      }
    }
    if (!onMains && battery === null)
      findings.push({
        code: "kit.power-missing",
        weight: "note",
        says: `What drives camera ${id}, and for how long, is not known.`,
        remedy: "Give its watts and a battery that fits it, or put it on a circuit.",
        evidence: { where: id },
      });
  }
  return findings;
}

function lightFindings({ lights }: Figures): Finding[] {
  return lights
    .filter(({ battery }) => battery.needs > battery.has)
    .map(({ id, battery }) => ({
      code: "kit.light-battery-short",
      weight: "warn",
      says: `The light ${id} runs ${hoursMinutes(battery.minutesEach)} on a battery and needs ${countOf(battery.needs, "battery", "batteries")} for the day; there ${battery.has === 1 ? "is" : "are"} ${countOf(battery.has, "battery", "batteries")} for it.`,
      remedy: "Bring more, switch it off in the breaks, or run it from the mains.",
      evidence: { where: id },
    }));
}

function circuitFindings(plan: Plan, { circuits, unassigned }: Figures): Finding[] {
  const findings: Finding[] = circuits
    .filter(({ share }) => share > continuousShare)
    .map((c) => ({
      code: c.share > 1 ? "kit.circuit-over" : "kit.circuit-close",
      weight: c.share > 1 ? "stop" : "warn",
      says: `${openSentence(c.name)} carries ${c.drawn.toFixed(1)} A of its ${c.amperes} A${c.share > 1 ? "" : ", more than four fifths, for hours"}.`,
      remedy: "Put a lamp on another circuit or take a weaker one. Local codes and licensed practice decide.",
      evidence: { where: c.id, figure: `${Math.round(100 * c.share)} %` },
    }));
  if (unassigned.length > 0) {
    const amperes = unassigned.reduce((sum, load) => sum + load.amperes, 0);
    findings.push({
      code: "kit.circuit-unsaid",
      weight: "note",
      says: `Loads on no named circuit (${unassigned.map(({ id }) => id).join(", ")}) draw ${amperes.toFixed(1)} A at ${plan.mains.volts} V.`,
      remedy: "Find out which outlets share a breaker and what it is rated for.",
      evidence: { where: unassigned[0]!.id, figure: `${amperes.toFixed(1)} A` },
    });
  }
  return findings;
}

function standFindings(plan: Plan): Finding[] {
  const length = (metres: number): string => lengthWords(metres, plan.units);
  const findings: Finding[] = [];
  const check = (
    holds: string,
    standId: string | undefined,
    height: number | undefined,
    kg: number | null,
  ): void => {
    const stand = plan.kit.stands.find(({ id }) => id === standId);
    if (!stand) return;
    if (kg !== null && kg > stand.loadKg)
      findings.push({
        code: "kit.stand-overloaded",
        weight: "stop",
        says: `${openSentence(stand.name)} would carry ${kg.toFixed(1)} kg for ${holds}; it bears ${stand.loadKg} kg.`,
        remedy: "Use a stronger stand.",
        evidence: { where: holds, figure: `${kg.toFixed(1)} kg` },
      });
    if (height !== undefined && (height > stand.highest + 0.01 || height < stand.lowest - 0.25))
      findings.push({
        code: "kit.stand-height",
        weight: "warn",
        says: `${openSentence(holds)} is planned at ${length(height)}; ${stand.name} reaches from ${length(stand.lowest)} to ${length(stand.highest)}.`,
        remedy: "Use another stand or another height.",
        evidence: { where: holds, figure: length(height) },
      });
  };
  const sum = (...weights: (number | undefined)[]): number | null =>
    weights.some((kg) => kg === undefined) ? null : weights.reduce<number>((a, kg) => a + kg!, 0);
  for (const camera of plan.cameras) {
    const body = plan.kit.bodies.find(({ id }) => id === camera.body);
    const lens = plan.kit.lenses.find(({ id }) => id === camera.lens);
    const slide = plan.slides.find((s) => s.camera === camera.id);
    const slider = slide && plan.kit.sliders.find(({ id }) => id === slide.slider);
    check(
      `camera ${camera.id}`,
      camera.stand,
      camera.height,
      sum(body?.weightKg, lens?.weightKg, slide ? slider?.weightKg : 0),
    );
  }
  for (const placed of plan.lights) {
    const light = plan.kit.lights.find(({ id }) => id === placed.light);
    check(`the light ${placed.id}`, placed.stand, placed.height, light?.weightKg ?? null);
  }
  return findings;
}
