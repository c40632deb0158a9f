import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import type { Change } from "#documents/said";
import { openSaid, type SaidOutcome } from "./said-keeper.ts";
import { newSitting, readSitting, writeSitting } from "./sitting-store.ts";

let folder: string;
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), "gemel-said-"));
  const cards = [{ device: "A", kind: "camera" as const, paths: ["cards/A"] }];
  await writeSitting(folder, newSitting("The tide-mill loft", cards, ["originals"], new Date(0)));
});
afterEach(() => rm(folder, { recursive: true }));

const angle = (from: number, to: number, camera: string | null = "B"): Change => ({
  kind: "angle",
  from,
  to,
  camera,
});
const loudness = (loudnessTarget: number): Change => ({ kind: "loudness", loudnessTarget });
const stateOf = (outcome: SaidOutcome) => {
  if (!outcome.done) throw new Error(outcome.says);
  return outcome.state;
};

describe("what is said", () => {
  it("lies in sitting.json as soon as it is answered, and is there after a restart with its way back", async () => {
    const first = await openSaid(folder);
    const said = stateOf(await first.say(first.state().revision, angle(3, 9)));
    expect((await readSitting(folder)).story?.angles).toEqual([{ from: 3, to: 9, camera: "B" }]);
    const second = await openSaid(folder);
    expect(second.state()).toEqual(said);
    expect(second.state().undo).toBe("camera B from 0:03 to 0:09");
    const back = stateOf(await second.undo(said.revision));
    expect(back.said.story.angles).toEqual([]);
    const again = stateOf(await (await openSaid(folder)).redo(back.revision));
    expect(again.said).toEqual(said.said);
  });

  it("can be undone and redone to any depth, and a new change ends the redoing", async () => {
    const keeper = await openSaid(folder);
    const untouched = keeper.state();
    for (let i = 0; i < 60; i++) await keeper.say(keeper.state().revision, loudness(-10 - i / 4));
    const all = keeper.state();
    for (let i = 0; i < 60; i++) stateOf(await keeper.undo(keeper.state().revision));
    expect(keeper.state().said).toEqual(untouched.said);
    expect(keeper.state().revision).toBe(untouched.revision);
    expect(await keeper.undo(keeper.state().revision)).toMatchObject({
      done: false,
      code: "SAID_NOTHING_LEFT",
    });
    for (let i = 0; i < 60; i++) stateOf(await keeper.redo(keeper.state().revision));
    expect(keeper.state().said).toEqual(all.said);
    stateOf(await keeper.undo(keeper.state().revision));
    stateOf(await keeper.say(keeper.state().revision, angle(1, 2)));
    expect(keeper.state().redo).toBeNull();
  });

  it("takes a change made on an old revision where nobody spoke of the same thing", async () => {
    const keeper = await openSaid(folder);
    const { revision } = keeper.state();
    stateOf(await keeper.say(revision, angle(3, 9)));
    stateOf(await keeper.say(revision, angle(20, 25, "A")));
    stateOf(await keeper.say(revision, loudness(-16)));
    expect(keeper.state().said).toMatchObject({
      story: { angles: [{ camera: "B" }, { camera: "A" }] },
      loudnessTarget: -16,
    });
  });

  it("refuses one that would overrule what another page said meanwhile, and says what that was", async () => {
    const keeper = await openSaid(folder);
    const { revision } = keeper.state();
    stateOf(await keeper.say(revision, angle(3, 9)));
    const refused = await keeper.say(revision, angle(8, 12, "A"));
    expect(refused).toEqual({
      done: false,
      code: "SAID_CONFLICT",
      says: "In another place camera B from 0:03 to 0:09 was decided meanwhile, so camera A from 0:08 to 0:12 was not done.",
    });
    expect(keeper.state().said.story.angles).toHaveLength(1);
    expect(await keeper.undo(revision)).toMatchObject({ done: false, code: "SAID_CONFLICT" });
  });

  it("counts an undo as a change that an old page did not see", async () => {
    const keeper = await openSaid(folder);
    const one = stateOf(await keeper.say(keeper.state().revision, angle(3, 9)));
    const two = stateOf(await keeper.say(one.revision, angle(20, 25)));
    stateOf(await keeper.undo(two.revision));
    expect(await keeper.say(two.revision, angle(22, 24, "A"))).toMatchObject({ done: false });
    expect(await keeper.say(two.revision, angle(4, 5, "A"))).toMatchObject({ done: true });
  });

  it("loses none of many changes that come at once", async () => {
    const keeper = await openSaid(folder);
    const { revision } = keeper.state();
    await Promise.all(Array.from({ length: 20 }, (_, i) => keeper.say(revision, angle(i * 10, i * 10 + 5))));
    expect((await readSitting(folder)).story?.angles).toHaveLength(20);
  });

  it("sees what another program wrote into the sitting, keeps it, and refuses changes made without knowing it", async () => {
    const keeper = await openSaid(folder);
    const { revision } = keeper.state();
    const path = join(folder, "sitting.json");
    const text = await readFile(path, "utf8");
    await writeFile(path, JSON.stringify({ ...JSON.parse(text), title: "Another title", weather: "fog" }));
    expect(await keeper.say(revision, angle(3, 9))).toMatchObject({ done: false, code: "SAID_CONFLICT" });
    stateOf(await keeper.say(keeper.state().revision, angle(3, 9)));
    expect(await readSitting(folder)).toMatchObject({ title: "Another title", weather: "fog" });
  });

  it("drops the last change of a history that the sitting never had, and a history that is not one", async () => {
    const keeper = await openSaid(folder);
    const before = await readFile(join(folder, "sitting.json"), "utf8");
    stateOf(await keeper.say(keeper.state().revision, angle(3, 9)));
    await writeFile(join(folder, "sitting.json"), before);
    expect((await openSaid(folder)).state()).toMatchObject({ undo: null, redo: null });
    await writeFile(join(folder, "said-history.json"), "{");
    expect((await openSaid(folder)).state().said.story.angles).toEqual([]);
  });

  it("makes no step of a change that changes nothing", async () => {
    const keeper = await openSaid(folder);
    const outcome = await keeper.say(keeper.state().revision, loudness(-18));
    expect(outcome).toMatchObject({ done: true, changed: false, state: { undo: null } });
  });
});
