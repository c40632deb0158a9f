import { describe, expect, it } from "vitest";
import { cornersOptions, readCorners } from "./colour-options.ts";
import { type CommandSpec, parseCall } from "./command.ts";

const spec: CommandSpec = {
  name: "colour",
  usage: "gemel colour",
  help: "",
  example: "",
  options: cornersOptions(["a", "b"]),
};
const read = (...words: string[]) => readCorners(spec, parseCall(spec, words), ["a", "b"]);

describe("--corners-a and --corners-b", () => {
  it("are seconds and four corners, for the camera of that letter", () => {
    expect(read("--corners-b", "12.5:410,220,890.5,235,880,560,400,-3")).toEqual({
      B: {
        at: 12.5,
        corners: [
          [410, 220],
          [890.5, 235],
          [880, 560],
          [400, -3],
        ],
      },
    });
    expect(read()).toEqual({});
  });

  it.each(["12.5", "12.5:1,2,3", "x:1,2,3,4,5,6,7,8", "1:1,2,3,4,5,6,7,", "-1:1,2,3,4,5,6,7,8", "1:2:3"])(
    "refuse %s and show how they are written",
    (word) => {
      expect(() => read("--corners-a", word)).toThrow("as in 12.5:410,220,890,235,880,560,400,540");
    },
  );
});
