import { expect, it } from "vitest";
import { stagedRoom } from "../../test/helpers/staged-room.ts";
import { misspeltKey } from "./misspelt-key.ts";
import { planSchema } from "./plan.ts";
import { planFromText } from "./plan-from-text.ts";

const plan = (): Record<string, unknown> => JSON.parse(JSON.stringify(stagedRoom()));

it("finds none in a whole plan, nor in what another program put beside", () => {
  expect(misspeltKey(planSchema, plan())).toBeNull();
  expect(misspeltKey(planSchema, { ...plan(), remarks: "quiet street", x: 1 })).toBeNull();
});

it("names a key that stands beside the one that was meant, in groups and lists", () => {
  const { sky: _, ...when } = plan()["when"] as Record<string, unknown>;
  expect(misspeltKey(planSchema, { ...plan(), when: { ...when, skyy: "overcast" } })).toEqual({
    path: ["when"],
    key: "skyy",
    meant: "sky",
  });
  const [first] = plan()["cameras"] as Record<string, unknown>[];
  const { shutterAngle: __, ...camera } = { shutterAngle: 180, ...first };
  expect(misspeltKey(planSchema, { ...plan(), cameras: [{ ...camera, shutterAngel: 90 }] })).toEqual({
    path: ["cameras", "0"],
    key: "shutterAngel",
    meant: "shutterAngle",
  });
});

it("leaves alone what resembles a key that is there", () => {
  expect(misspeltKey(planSchema, { ...plan(), titles: "also" })).toBeNull();
});

it("refuses a plan that would be read without what was said", () => {
  const { sky: _, ...when } = plan()["when"] as Record<string, unknown>;
  const text = JSON.stringify({ ...plan(), when: { ...when, skyy: "overcast" } });
  expect(() => planFromText(text, "loft.json")).toThrow(
    'loft.json has "skyy" in when, which no plan has; it is most likely "sky".',
  );
});
