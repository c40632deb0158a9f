import { describe, expect, it } from "vitest";
import { loftPlan } from "#demo/loft-plan";
import type { MeasureContext } from "#documents/chapter";
import { planKey } from "#documents/plan-key";
import { defaultDecisions, type Sitting } from "#documents/sitting";
import { room } from "./room.ts";

const sittingWith = (more: Partial<Sitting>): Sitting =>
  ({
    title: "The tide mill",
    cards: [],
    decisions: defaultDecisions,
    plan: loftPlan,
    ...more,
  }) as unknown as Sitting;

async function drawn(sitting: Sitting, isThere = true) {
  const texts = new Map<string, string>();
  const context: Partial<MeasureContext> = {
    progress: () => {},
    writeText: async (name, text) => {
      texts.set(name, text);
      return `measured/room/${name}`;
    },
    copyMade: async (path, name) => {
      if (!isThere) throw new Error(`no ${path}`);
      return `measured/room/${name}`;
    },
  };
  const inputs = room.inputs({ sitting, recordings: [], results: {} });
  if ("missing" in inputs) throw new Error(inputs.missing);
  return { texts, drawings: (await room.measure(inputs, context as MeasureContext)).drawings! };
}

const picture = (plan: string) => ({ camera: "B", file: "pictures/0123456789abcdef.png", plan });

describe("the drawings of Room", () => {
  it("are the plan to scale and each camera in lines, where no page rendered anything", async () => {
    const { texts, drawings } = await drawn(sittingWith({}));
    expect(drawings.plan).toBe("measured/room/plan.svg");
    expect(drawings.frames.map(({ camera }) => camera)).toEqual(loftPlan.cameras.map(({ id }) => id));
    expect(drawings.frames.every(({ isRendered }) => !isRendered)).toBe(true);
    for (const { path } of drawings.frames)
      expect(texts.get(path.replace("measured/room/", ""))).toMatch(/^<svg xmlns.*<\/svg>$/s);
  });

  it("take the picture that was rendered of this very plan, and lines for the other camera", async () => {
    const { drawings } = await drawn(sittingWith({ roomPictures: [picture(planKey(loftPlan))] }));
    const byCamera = Object.fromEntries(drawings.frames.map((one) => [one.camera, one.isRendered]));
    expect(byCamera).toMatchObject({ A: false, B: true });
    expect(drawings.frames.find(({ camera }) => camera === "B")!.path).toMatch(/\.png$/);
  });

  it("leave out a picture of a plan that has changed since, and one whose file is gone", async () => {
    const old = await drawn(sittingWith({ roomPictures: [picture("0000000000000000")] }));
    const gone = await drawn(sittingWith({ roomPictures: [picture(planKey(loftPlan))] }), false);
    for (const { drawings } of [old, gone])
      expect(drawings.frames.every(({ isRendered, path }) => !isRendered && path.endsWith(".svg"))).toBe(
        true,
      );
  });
});
